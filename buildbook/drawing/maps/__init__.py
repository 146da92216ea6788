"""What is where: plan, power, grounds and data bus."""
