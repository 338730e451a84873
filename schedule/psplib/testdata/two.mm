jobs  (incl. supersource/sink ):  4
RESOURCES
  - renewable                 :  1   R
  - nonrenewable              :  1   N
  - doubly constrained        :  0   D
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          1           2
   2        2          1           3
   3        2          1           4
   4        1          0
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  N 1
  1      1     0       0    0
  2      1     2       1    3
         2     5       1    0
  3      1     1       1    3
         2     6       1    1
  4      1     0       0    0
RESOURCE AVAILABILITIES:
  R 1  N 1
    1    4
