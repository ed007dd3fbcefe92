"""The screens of the notebooks: widgets over the pipeline and the output."""
