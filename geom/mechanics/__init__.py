"""What lines and posts carry: cable, friction, push test, falls, posts, weakest link."""
