"""Running it: the steps in order, what is kept between runs, workers, publishing, the live server."""
