"""A method to the steps of a process: its times, its places, its oven."""
