"""The notebook face: widgets over the pipeline and the output."""
