"""The demo day: clips through the recogniser, the queue and a scripted review to the herd record."""
