; made for the Mulrane, Tuesday
; L-H = 99 (this is a remark above the tail, no setting)
G21
G90
M82
M109 S212
G1 X10 Y10 Z0.24 F1500
G1 X60 Y10 E2.41 F1500
; outer wall = 1
G1 X60 Y60 E4.82
M104 S0
M84
; withy tail opens
; SHEET = Hooks
; MC-NM = Mulrane B2
; BV = 220 220 240
; NZ-D = 0.4
; FD-DR = 1
; T-NZ = 212
; T-N1 = 0
; R-LN = -4.4
; L-H = 0.2
; L-H1 = 1.2
; N-W = 3
; V-ALL = 80
; V-OW = 40
; withy tail ends
; L-H = 98
