"""What is carried: drink between the refills, food by pocket, the reserve and what is done beforehand."""
