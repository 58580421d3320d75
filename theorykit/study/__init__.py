"""Study: what is asked, when it is asked again, and what the reader keeps."""
