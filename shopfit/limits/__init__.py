"""What holds a shop back: a little more of each limit, solved again, and what it gains."""
