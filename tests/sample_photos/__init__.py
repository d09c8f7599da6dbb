"""The photographs of the sample log, rendered in 3-D from simple models of the parts they show."""
