"""The cutting table: layouts to steps, the steps carried out again, and their checker."""
