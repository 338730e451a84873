# two jobs on two machines
2 2
0 3 1 2
1 4 0 1
