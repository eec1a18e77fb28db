"""One kit and the class: demands, yields, choices, cutting jobs, the shelf, costs."""
