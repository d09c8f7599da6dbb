"""The three editions."""

NAME = "editions"
TITLE = "Who may see what"
TEXT = """
There are three editions, each holding all that the one before it holds: `public`, `inspector`,
`shop`. An entry, a part or a task says for whom it is with `audience`; unmarked, it is for the
inspector; a medium goes with its entry unless it says otherwise. An entry with records, or with
work on parts, cannot be for the shop alone: fence off what of it is private. Each key has an
audience of its own beside that, given in the tables here.

The public sees, where its entry, part or task is public: dates, titles, prose, media and captions;
task and parts of a work line; number, name, items, parent and system of a part; task, title,
discipline and milestone of a task; people by their public names. Records, hours, statuses and
findings stop at the inspector. Supplier, cost, note and document of the four lists, and what a
fence says, are for the shop alone.

An edition is made from what its audience may see and from nothing else: what is hidden is gone
before anything is counted or shown. A file below media/ goes no further than the narrowest of all
that refer to it. `declassify` lets named figures through, on purpose: see `declassify`.

Before an edition below the shop's takes its place, every file of it is searched for names that its
readers may not know, however they are written: hidden parts, tasks, people and what reaches them,
suppliers, the names of files kept back, paths of this machine, and each line of `secrets.txt`.
What is found is told with the file and line where it is written, and what stood there stands. Put
the passage into a fence, say it in another word, or let the word pass in one entry, with `allow` in
its header and the word behind it. The title of a hidden part is often an ordinary word, and a
serial number may be any figure: where these stand you are told, and nothing is refused.

For the public a part or task that does not say for whom it is stays plain text where prose names
it, and a tag that would lead to it goes; one that says it is for the inspector or the shop refuses
the edition when an entry names it. People without a public name are "a builder", once however many,
and an entry that speaks of them by a first or last name refuses the edition, unless that is a word
that the log also writes with a small letter.
So that nobody is refused for a common word, give people keys that no sentence holds.

In the public edition nothing is called as your files are: the page of an entry is called after its
date and title, a picture after its caption and its own bytes. Another title is another address.
What lies in `static/` is added to it: texts, fonts, and pictures that carry nothing but pixels.

What documents, clips and pictures say inside is not searched. The inspector gets documents and
clips as they are. The public gets photographs rebuilt from bare pixels, and clips and sounds
encoded anew, with what their edit lists show and nothing else that was in the file; a PDF only if
its own line says `audience: public`, drawn anew without notes, forms, links and tags, and not if it
holds pictures. What covers what in it is not looked at: a black bar drawn over words leaves the
words there. What cannot be made anew is not published, and you are told.

Faces, voices and number plates are not checked. Before you upload anything, look at the public
edition yourself, and listen to it: a photograph or a clip can show an address, a face or a number
plate, or say a name, that no program knows to be private.
"""
