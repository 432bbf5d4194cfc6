G21 ; millimetres
G90
M83
G28
M190 S59
M109 S213
G92 E0
; first layer
G1 Z0.34 F1200
G1 X-20 Y-20 E0.9 F1260
G1 X20 Y-20 E3.21
G1 X20 Y20 E3.21
; up
G1 Z0.62 F1200
G1 X-20 Y20 E2.95 F2280
M104 S0
G28
; >>> cordwain remembers
; made with = Cordwain 0.9.31
; made on = 2031-04-11 06:58
; part = lantern.obj
; took to prepare = 11.2 s
; checksum = 13dd60a4
; path colours = rim #333333, fill #dddddd
; machine = Long Tom
; works = three arms
; room = 210x210x420
; zero at = middle
; tip = 0.6 brass
; most heat = 275/95
; top speeds = 350,350,280
; top accelerations = 4500,4500,4000
; top kicks = 12,12,11
; lift all by = -0.04
; layer = 0.28/0.34
; layer may range = 0.16-0.4
; layer adapts = n
; shells up/down = 4+3
; shells at least = 1.0+0.8
; top drawn as = rings
; rims = 2 @ 0.6/0.66
; rim order = out-in
; join = rear
; rim speed out/in = 38/60
; rim push out/in = 1100/1700
; rim flow out/in = 97/101
; fine walls kept = y
; stretchy beads = n
; fill = 12% honeycomb @30
; fill bead = 0.7
; fill speed = 72
; fill push = 1900
; fill meets rim by = 14%
; solid speed = 64
; roof speed = 36
; roof flow = 98.5
; ground speed/push = 21/500
; ground bead = 0.72
; ground glide = 90
; usual speed/push = 68/1600
; glide speed/push = 230/3200
; bridges laid at = 20
; bridge speed/flow = 26/96%
; flow no more than = 11
; stay inside = n
; props = n
; props look like = post
; props from = 47
; props dense = 18%
; props room z/xy = 0.3/0.9
; props roof = 2 x 65%
; props speed = 52/28
; hold = skirt
; brim = 4 off 0.15
; skirt = 3 at 5.5
; grow outline/hole = 0.04/0.14
; squash cut = -0.21
; filament = Lovat PLA
; brand = Ekman Tråd
; polymer = PLA
; thread = 1.75 @ 1.24
; spool = 1000 g for 19.9
; tip heat = 207/213
; bed heat = 54/59
; room heat = off
; melt flow = 101
; lead = 0.058
; blower = 45-100
; blower bridge/steep = 100/90
; blower waits = 1
; layer takes = 6.5 s, not under 18
; pull = y
; pull back = 5.2@45/36
; pull past = 2.1
; hop = 0.1 upright
; wipe over = 0.8
; code before = G90\nG28\nM109 S@tip@
; code behind = M104 S0\nG28
; user = brandt
; screen = 1366x768
; tab = rims
; licence seat = 9 of 10
; draft no = 2
; remind me = buy tips
; repeat as = 4
; smooth ride = 0.02
; kick usual/out/fill = 10/6/9
; slowest print/glide = 4/8
; shrinks flat/tall = 0.2%/0.1%
; maker says = 190..225
; drying = 48 for 5 h
; flow fill/solid/props = 102/100/96
; arcs = y
; spiral = n
; one by one = y
; rims then fill = n
; iron = n
; iron speed/flow = 45/16%
; iron gap = 0.16
; overhang speed = 22
; small rim speed = 27
; slit speed = 30
; ramp over = 2
; raft = 2 over 0.25
; back edge fan delay = 5
; <<< cordwain remembers
