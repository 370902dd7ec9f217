"""Pages to print and to hand out: deck sheets and handouts. Floor 5."""
