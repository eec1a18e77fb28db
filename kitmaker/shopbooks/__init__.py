"""The shop's and the class's workbooks."""
