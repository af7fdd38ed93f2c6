"""The invented season of the demonstration: places, training, people, events, in that order."""
