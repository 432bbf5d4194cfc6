G28
M84
; withy tail opens
; SHEET = Cut
; NZ-D = 0.4
; T-NZ = 212
; L-H = 0.2
; V-AL