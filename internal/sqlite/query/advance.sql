UPDATE revision SET number = number + 1
