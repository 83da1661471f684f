"""The setting card, push tests and the test bar."""
