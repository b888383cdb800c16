"""What reruns say: actions, load shedding, lead remedies, single points of failure."""
