"""The windows beside the main one: each is made when it is first opened."""
