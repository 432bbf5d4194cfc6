G21 ; millimetres
G90
M83
G28
M190 S104
M109 S255
G92 E0
; first layer
G1 Z0.24 F960
G1 X40 Y38 E0.61 F2160
G1 X96 Y38 E2.87
G1 X96 Y72 E1.74
; up
G1 Z0.44 F960
G1 X40 Y72 E2.31 F4200
M104 S0
M140 S0
M84
; >>> cordwain remembers
; made with = Cordwain 0.9.31
; made on = 2031-04-02 19:33
; part = hinge_left.obj
; took to prepare = 3.8 s
; checksum = 9be2f071
; path colours = rim #b5523b, fill #5a7fa3
; machine = Grebe
; works = crossed belt
; room = 256x256x250
; zero at = corner
; tip = 0.4 hardened
; most heat = 300/115
; top speeds = 500,480,16
; top accelerations = 12000,9000,400
; top kicks = 10,9,0.5
; lift all by = 0.03
; layer = 0.2/0.24
; layer may range = 0.08-0.28
; layer adapts = y
; shells up/down = 5+4
; shells at least = 0.9+0.7
; top drawn as = one way
; rims = 3 @ 0.42/0.45
; rim order = in-out
; join = crease
; rim speed out/in = 70/115
; rim push out/in = 2400/4200
; rim flow out/in = 99/100
; fine walls kept = y
; stretchy beads = y
; fill = 20% gyroid @45
; fill bead = 0.48
; fill speed = 160
; fill push = 5200
; fill meets rim by = 20%
; solid speed = 140
; roof speed = 62
; roof flow = 97
; ground speed/push = 36/850
; ground bead = 0.5
; ground glide = 140
; usual speed/push = 150/4500
; glide speed/push = 400/8000
; bridges laid at = auto
; bridge speed/flow = 40/93%
; flow no more than = 21.5
; stay inside = y
; props = y
; props look like = tree
; props from = 53
; props dense = 12%
; props room z/xy = 0.2/0.6
; props roof = 3 x 80%
; props speed = 95/50
; hold = brim
; brim = 6 off 0.1
; skirt = 2 at 4
; grow outline/hole = -0.05/0.1
; squash cut = -0.13
; filament = Bistre ASA
; brand = Thornaby
; polymer = ASA
; thread = 1.75 @ 1.07
; spool = 750 g for 32.5
; tip heat = 250/255
; bed heat = 98/104
; room heat = 50
; melt flow = 97.5
; lead = 0.031
; blower = 0-35
; blower bridge/steep = 45/40
; blower waits = 4
; layer takes = 12 s, not under 14
; pull = y
; pull back = 0.65@38/30
; pull past = 1.6
; hop = 0.3 slanted
; wipe over = 1.4
; code before = G90\nM83\nG28\nM190 S@bed@\nM109 S@tip@
; code behind = M104 S0\nM140 S0\nM84
; user = mio
; screen = 1920x1080
; tab = props
; licence seat = 4 of 10
; draft no = 6
; remind me = clean bed
; repeat as = 1
; smooth ride = 0.04
; kick usual/out/fill = 8/5/7
; slowest print/glide = 5/10
; shrinks flat/tall = 0.65%/0.4%
; maker says = 240..265
; drying = 80 for 4 h
; flow fill/solid/props = 100/99/94
; arcs = n
; spiral = n
; one by one = n
; rims then fill = y
; iron = y
; iron speed/flow = 95/13%
; iron gap = 0.12
; overhang speed = 34
; small rim speed = 48
; slit speed = 44
; ramp over = 3
; raft = 3 over 0.2
; back edge fan delay = 2
; <<< cordwain remembers
