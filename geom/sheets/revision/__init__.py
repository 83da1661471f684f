"""What a revision changes on paper: which sheets are issued again, the change sheet, the marks of changed figures."""
