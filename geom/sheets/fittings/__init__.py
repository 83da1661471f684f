"""The fitting sheets and pictorial views."""
