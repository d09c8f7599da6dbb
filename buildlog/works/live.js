// Added to a page while `buildlog follow` serves it: waits for news and takes the page anew, or shows problems.
(function () {
  "use strict";
  var here = document.currentScript;
  var seen = Number(here.dataset.version);
  var news = here.dataset.news;

  function show(problems) {
    var old = document.getElementById("live-problems");
    if (old) { old.remove(); }
    if (!problems.length) { return; }
    var box = document.createElement("section");
    box.id = "live-problems";
    box.setAttribute("role", "alert");
    var title = document.createElement("h2");
    title.textContent = "Not published: " + problems.length + (problems.length === 1 ? " problem" : " problems");
    var list = document.createElement("ol");
    problems.forEach(function (problem) {
      var line = document.createElement("li");
      line.textContent = problem;
      list.appendChild(line);
    });
    box.append(title, list);
    document.body.prepend(box);
  }

  function listen() {
    fetch(news + "?after=" + seen, { cache: "no-store" }).then(function (answer) {
      if (!answer.ok) { throw new Error(String(answer.status)); }
      return answer.json();
    }).then(function (told) {
      if (told.version !== seen && !told.problems.length) { window.location.reload(); return; }
      seen = told.version;
      show(told.problems);
      listen();
    }).catch(function () { window.setTimeout(listen, 1000); });
  }

  show(JSON.parse(here.dataset.problems));
  listen();
}());
