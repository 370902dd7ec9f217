"""Habits of the shipped decks, as ``drillapp statistics --fit FILE`` counts them."""

COUNTED = """
12/8 : accent compound : ABAB*1 : >DUD*0,1,0,1 DUD*1,0,1,0
12/8 : accent compound skip : ABAB*1 : >D-U*0,1,0,1 D-U*1,0,1,0
12/8 : compound : AAAA*1 : DUD*1,1,1,1
12/8 : compound direction : ABAB*1 : DUD*1,0,1,0 UDU*0,1,0,1
12/8 : compound mute rest : ABAC*1 : DUD*1,0,1,0 X..*0,0,0,1 XUD*0,1,0,0
12/8 : compound mute skip : ABAB*2 ABAC*1 : D-U*3,0,3,0 DXX*0,1,0,1 X-U*0,2,0,1 XUD*0,0,0,1
12/8 : compound skip : AAAA*1 AAAB*1 ABAB*1 : D*1,0,1,0 D-U*2,3,2,2 DUD*0,0,0,1
12/8 : compound skip tie : ABBC*1 ABCA*2 : --U*0,1,0,0 -U-*0,1,2,0 -UD*0,1,1,0 D*0,0,0,1 D-U*3,0,0,2
2+2+3/8 : beat : AAA*1 : D*1,1,0,1
2+2+3/8 : compound mute offbeat skip : ABC*2 : D*1,0,0,0 D-U*0,0,0,1 DU*0,1,0,0 DUD*0,0,0,1 X*1,0,0,0
  XU*0,1,0,0
2+2+3/8 : compound offbeat : AAB*1 : DU*1,1,0,0 DUD*0,0,0,1
2+2+3/8 : compound offbeat skip : ABC*1 : D*1,0,0,0 D-U*0,0,0,1 DU*0,1,0,0
2+3+2/8 : compound offbeat skip : ABC*1 : D*1,0,0,0 DU*0,0,0,1 DUD*0,1,0,0
2+3/8 : beat : AA*1 : D*1,0,0,1
2+3/8 : compound offbeat : AB*1 : DU*1,0,0,0 DUD*0,0,0,1
2/2 : beat : AA*1 : D*1,0,0,1
2/2 : offbeat sixteenth : AA*1 : DUDU*1,0,0,1
2/2 : offbeat sixteenth skip : AA*1 AB*1 : D*1,0,0,0 D-DU*1,0,0,2
2/2 : offbeat sixteenth skip tie : AB*1 : -UDU*0,0,0,1 D-DU*1,0,0,0
2/2 : rest : AB*1 : .*0,0,0,1 D*1,0,0,0
2/4 : accent rest : AB*1 : >D.*0,0,0,1 D.*1,0,0,0
2/4 : mute : AB*1 : D*1,0,0,0 X*0,0,0,1
2/4 : mute offbeat sixteenth skip : AB*1 : D-DX*0,0,0,1 X-DU*1,0,0,0
2/4 : mute offbeat skip : AB*1 : D*1,0,0,0 XX*0,0,0,1
2/4 : offbeat : AA*1 AAAB*1 AABC*1 AB*2 : -*0,0,0,1 -U*0,0,0,1 D*4,0,0,1 DU*3,0,0,4
2/4 : offbeat rest : AA*1 : .U*1,0,0,1
2/4 : offbeat sixteenth skip : AB*1 : D*0,0,0,1 D-DU*1,0,0,0
2/4 : offbeat sixteenth skip tie : AB*3 : --D-*0,0,0,1 -UD-*0,0,0,1 -UDU*0,0,0,1 D--U*1,0,0,0 D-DU*2,0,0,0
2/4 : offbeat skip tie : ABCA*1 : -U*1,0,0,0 D*1,0,0,1 DU*0,0,0,1
3+2+2/8 : accent compound offbeat : ABB*1 : >DU*0,1,0,1 >DUD*1,0,0,0
3+2+2/8 : compound offbeat skip : ABC*1 : D*0,1,0,0 DU*0,0,0,1 DUD*1,0,0,0
3+2+2/8 : compound skip : ABB*1 : D*0,1,0,1 D-U*1,0,0,0
3+2/8 : compound offbeat : AB*1 : DU*0,0,0,1 DUD*1,0,0,0
3+2/8 : compound skip : AB*1 : D*0,0,0,1 D-U*1,0,0,0
3+3+2/8 : beat : AAA*1 : D*1,1,0,1
3+3+2/8 : compound offbeat : AAB*1 : DU*0,0,0,1 DUD*1,1,0,0
3/4 : accent offbeat skip : ABB*1 : >DU*0,1,0,1 D*1,0,0,0
3/4 : beat : AAA*1 AAAABA*1 AAAABB*1 ABA*1 ABAABB*1 ABB*1 : -*0,6,0,3 D*9,3,0,6
3/4 : direction offbeat : AAA*1 ABB*1 : DD*2,1,0,1 DU*0,1,0,1
3/4 : direction offbeat skip : ABC*1 : D*1,0,0,0 DD*0,0,0,1 DU*0,1,0,0
3/4 : mute : ABB*1 : D*1,0,0,0 X*0,1,0,1
3/4 : mute offbeat rest : ABB*1 : D.*1,0,0,0 DX*0,1,0,1
3/4 : mute offbeat sixteenth : ABC*1 : DXXU*1,0,0,0 XUXX*0,0,0,1 XXDX*0,1,0,0
3/4 : mute offbeat sixteenth skip : AAA*1 ABB*1 ABC*1 : D*1,0,0,1 D-DX*1,1,0,1 DXDU*1,0,0,0 XXDU*0,2,0,1
3/4 : mute offbeat skip : ABB*1 : D*1,0,0,0 XU*0,1,0,1
3/4 : offbeat : AAA*1 AAAAAB*1 AAAABB*1 AAABCC*1 AAB*1 AABABA*1 ABB*1 ABBAAB*1 ABBACC*1 ABC*1 : -*0,3,0,2
  D*12,6,0,5 DU*4,7,0,9
3/4 : offbeat rest : AAA*1 ABB*1 ABC*1 : .U*1,1,0,2 D.*2,0,0,0 DU*0,2,0,1
3/4 : offbeat rest skip : ABBABBACADEE*1 : -U*0,1,0,0 .*0,1,0,1 D*3,0,0,1 D.*1,0,0,0 DU*0,2,0,2
3/4 : offbeat sixteenth skip : AAB*1 ABB*1 ABC*4 : D*1,1,0,3 D--U*1,0,0,0 D-DU*3,1,0,1 DU*0,0,0,1
  DU-U*0,1,0,0 DUD-*1,2,0,1 DUDU*0,1,0,0
3/4 : offbeat skip : AAAABAACBADD*1 ABA*1 ABAAAB*1 ABC*1 ABCAAA*1 : -*0,1,0,1 -U*0,5,0,1 D*10,3,0,5
  DU*0,1,0,3
3/4 : offbeat skip swing : ABA*1 : -U*0,1,0,0 D*1,0,0,1
3/4 : offbeat skip tie : ABBCCC*1 ABC*1 : -U*0,1,0,2 D*2,1,0,1 DU*1,1,0,0
3/4 : offbeat swing : ABB*1 : D*1,0,0,0 DU*0,1,0,1
3/4 : offbeat triplet : ABC*1 : D*1,0,0,0 DU*0,1,0,0 DUD*0,0,0,1
3/4 : rest : ABB*1 : .*1,0,0,0 D.*0,1,0,1
3/4 : triplet : AAB*1 : D*1,1,0,0 DUD*0,0,0,1
4/4 : accent : AAAAAAAB*1 ABAB*1 ABBB*1 : >D*1,1,0,2 D*3,3,4,2
4/4 : accent direction mute offbeat : ABAB*1 ABAC*1 : >DD*0,1,0,0 >Dd*0,1,0,1 DD*1,0,1,0 XX*0,0,0,1
  Xd*1,0,1,0
4/4 : accent direction offbeat : ABAB*1 ABCD*1 : >DD*1,1,0,1 >DU*0,0,1,0 DD*1,1,1,0 DU*0,0,0,1
4/4 : accent direction offbeat skip : AABC*1 ABAB*1 : >D*0,1,0,2 DD*1,0,2,0 DU*1,1,0,0
4/4 : accent mute offbeat : AAAABCBC*1 ABAAAAAB*1 ABAB*5 ABAC*1 : >DU*0,2,0,3 >DX*0,4,0,4 >XU*0,1,0,1
  DU*3,1,3,0 DX*4,1,4,1 XX*3,1,3,1
4/4 : accent mute offbeat rest : ABABCDCE*1 : >DU*0,1,0,1 >DX*0,1,0,0 DU*1,0,1,0 DX*1,0,1,0 X.*0,0,0,1
4/4 : accent mute offbeat rest skip tie : ABCDABCE*1 : -U*0,0,2,0 >X.*0,0,0,1 D*2,0,0,0 DU*0,2,0,0
  X.*0,0,0,1
4/4 : accent mute offbeat sixteenth : ABAB*2 : >DXDX*0,1,0,1 >XXDU*0,1,0,1 DUDX*1,0,1,0 DXDX*1,0,1,0
4/4 : accent mute offbeat sixteenth skip : ABAB*1 ABCB*1 : >X-DU*0,1,0,1 >X-DX*0,1,0,1 D*1,0,0,0
  D-DU*1,0,1,0 DUDU*0,0,1,0
4/4 : accent mute offbeat skip : ABAB*1 : >DX*0,1,0,1 D*1,0,1,0
4/4 : accent mute offbeat skip tie : ABCB*1 : -U*0,0,1,0 >XU*0,1,0,1 D*1,0,0,0
4/4 : accent mute offbeat swing : ABAB*1 : >DU*1,0,1,0 XU*0,1,0,1
4/4 : accent mute offbeat tie : ABCD*1 : -U*0,0,1,0 >DU*0,1,0,0 >DX*0,0,0,1 DX*1,0,0,0
4/4 : accent mute skip : ABAB*1 : >X*0,1,0,1 D*1,0,1,0
4/4 : accent offbeat : AAAA*1 AAAB*1 ABAA*1 ABAB*1 ABBA*1 ABCA*1 ABCABCAB*1 ABCACAAC*1 ABCACABC*1 ABCBCAAC*1
  : >D>U*0,0,0,1 >DU*6,4,3,6 D>U*2,7,2,3 DU*6,3,9,4
4/4 : accent offbeat rest skip : ABACBDEF*1 : -U*0,1,0,0 .*0,0,0,1 >D*0,0,1,0 >DU*1,0,1,0 D.*0,0,0,1
  DU*1,1,0,0
4/4 : accent offbeat sixteenth skip : ABAB*1 : >D-DU*0,1,0,1 D-DU*1,0,1,0
4/4 : accent offbeat skip : ABAA*1 ABAB*1 ABBBBBAC*1 ABCAACAB*1 : ->U*0,1,0,0 >D*1,1,1,1 >DU*0,1,0,2
  D*5,2,4,3 DU*0,1,1,0
4/4 : accent offbeat skip swing : ABAB*1 : >DU*0,1,0,1 D*1,0,1,0
4/4 : accent offbeat skip tie : ABABCBCD*1 ABCA*1 ABCB*1 : -*0,0,1,0 -U*1,1,2,0 >D*1,0,0,2 >DU*0,3,0,2
  D*2,0,1,0
4/4 : accent offbeat tie : ABCA*1 : -U*0,0,1,0 D>U*0,1,0,0 DU*1,0,0,1
4/4 : accent rest : ABAB*2 : .*2,0,2,0 >D*0,1,0,1 >D.*0,1,0,1
4/4 : accent rest skip : ABCB*1 : >D*0,0,1,0 D*1,0,0,0 D.*0,1,0,1
4/4 : accent skip : AAAABBBB*1 : >D*1,1,1,1 D*1,1,1,1
4/4 : accent skip triplet : ABAB*1 : >D*0,1,0,1 DUD*1,0,1,0
4/4 : accent triplet : ABAB*1 : >DUD*1,0,1,0 DUD*0,1,0,1
4/4 : beat : AAAA*1 AAAAAAAB*1 AAAAABAB*1 AAAAABBA*1 AAAAABBB*1 AAAB*1 AAABAABA*1 AAABABBB*1 ABAB*1
  ABABAAAB*1 ABABAABA*1 ABABABBA*1 ABABABBB*1 ABBA*1 ABBAABBB*1 ABBB*1 ABBBAABA*1 ABBBABAA*1 : -*0,18,14,18
  D*31,13,17,13
4/4 : direction : ABAB*1 : D*1,0,1,0 U*0,1,0,1
4/4 : direction mute offbeat : AAAA*2 AAAB*1 AABB*1 ABAB*2 : DD*1,0,2,2 DU*0,1,0,1 Dd*2,1,2,1 XD*0,1,0,1
  Xd*3,3,2,1
4/4 : direction mute offbeat skip : AAAB*1 : D*0,0,0,1 Xd*1,1,1,0
4/4 : direction offbeat : AAAA*1 AAAAABAB*1 AAAABBBB*2 AAAABCCC*1 AAAB*3 AABAABAA*1 AABB*3 AABC*1 ABAB*2
  ABABBBAC*1 ABABCCCC*1 ABAC*2 ABBC*1 ABCC*1 : -*0,5,2,3 -D*0,1,0,1 D*15,6,10,4 DD*9,11,10,15 DU*4,5,5,4
  UD*0,0,1,1
4/4 : direction offbeat rest : AABA*1 : D.*1,1,0,1 DD*0,0,1,0
4/4 : direction offbeat rest skip : ABCD*1 : D*0,0,1,0 D.*0,0,0,1 DD*0,1,0,0 DU*1,0,0,0
4/4 : direction offbeat skip : AAAB*1 ABAB*3 ABACBBAD*1 : -*0,0,0,1 -D*0,1,0,1 D*4,0,5,1 DD*1,2,1,2
  DU*1,2,0,0 UD*0,1,0,1
4/4 : direction offbeat skip tie : AAABCDAE*1 ABCD*2 : -*0,0,0,1 -D*0,0,1,0 -U*1,0,1,0 D*3,1,2,0 DD*0,2,0,1
  DU*0,1,0,2
4/4 : mute : AAAA*1 AAAB*1 AABAABAB*1 ABAB*1 ABBB*1 : D*5,2,3,1 X*1,4,3,5
4/4 : mute offbeat : AAAA*2 AAAB*2 AABB*2 ABAB*4 ABBABCAB*1 ABBABCAC*1 ABCABCAB*1 : DU*3,1,3,2 DX*6,6,6,5
  X*0,1,0,1 XU*1,6,2,5 XX*6,2,5,3
4/4 : mute offbeat rest : AAAA*1 ABAB*5 ABABABCB*1 : .*2,0,1,0 .U*1,1,1,1 .X*1,3,1,3 D.*2,2,2,2 DX*0,1,1,1
  X.*1,0,1,0 XU*1,1,1,1
4/4 : mute offbeat rest sixteenth : ABAB*1 : .UDU*0,1,0,1 D.DX*1,0,1,0
4/4 : mute offbeat rest sixteenth skip : AABCAACD*1 ABAB*2 ABABABCD*1 : .UDU*0,0,1,0 .UDX*0,1,0,1
  .UXX*0,1,0,1 D*0,0,1,1 D-DU*2,0,1,0 D-DX*1,0,1,0 D-XX*1,0,1,0 D.*0,0,0,1 DUDU*0,0,1,0 X*0,0,0,1
  X-DX*0,2,0,1 XXXX*2,2,0,0
4/4 : mute offbeat rest skip : AAAABBBBACACBDBE*1 ABAB*1 ABABABABCBCBDDEF*1 ABCB*1 ABCD*1 : .*0,0,0,2
  .U*0,0,1,0 .X*0,1,0,1 D*6,1,4,1 DU*2,1,3,2 X*2,2,2,1 X.*0,1,1,1 XU*0,3,0,3 XX*1,2,0,0
4/4 : mute offbeat rest skip tie : ABCADAAE*1 : -*0,0,1,0 .*1,0,0,0 D*1,1,1,1 X*0,0,0,1 XU*0,1,0,0
4/4 : mute offbeat rest tie : ABCA*1 : -U*0,0,1,0 DU*0,1,0,0 X.*1,0,0,1
4/4 : mute offbeat sixteenth : AAAA*9 AAAB*1 ABAB*3 ABBC*1 ABCD*2 : DUDU*2,1,2,0 DUDX*2,1,2,1 DUXX*1,1,1,1
  DXDU*2,1,2,1 DXDX*1,1,1,1 DXXU*2,0,0,0 DXXX*2,1,1,3 XUDX*0,1,0,1 XUXX*1,2,2,1 XXDU*0,1,0,1 XXDX*1,3,3,1
  XXXU*1,1,1,2 XXXX*1,2,1,3
4/4 : mute offbeat sixteenth skip : AAAA*1 AAAAAABC*1 AAAABCAD*1 AAAB*2 ABAB*9 ABABBBCA*1 ABAC*2 ABCB*1 :
  D*5,1,5,4 D--X*1,1,1,0 D-DU*4,2,5,1 D-DX*5,6,3,5 D-XX*3,1,3,0 DU-X*0,0,0,1 DUD-*0,0,0,1 DUDU*1,0,0,1
  DUDX*1,1,3,1 DXDU*1,0,0,0 X-DU*0,3,0,3 X-DX*0,1,0,1 XXDU*0,2,0,2 XXX-*0,1,0,0 XXXX*0,2,1,1
4/4 : mute offbeat sixteenth skip tie : ABCB*3 ABCD*2 : -UD-*0,0,1,0 -UDU*0,0,3,0 -UDX*0,0,1,0 D*2,0,0,0
  D--U*0,1,0,0 D-DU*2,1,0,0 D-DX*1,0,0,0 X-DU*0,0,0,2 XUDU*0,2,0,2 XXDU*0,1,0,1
4/4 : mute offbeat sixteenth tie : ABAB*2 : -XDU*0,1,0,1 -XXU*0,1,0,1 DXDU*1,0,1,0 DXXU*1,0,1,0
4/4 : mute offbeat skip : AAAB*1 AAABCCDE*1 ABAB*1 ABABABCD*1 ABAC*3 ABCB*1 : -*0,0,0,1 -X*0,1,0,0 D*6,1,5,0
  DU*2,4,1,3 DX*0,0,0,1 X*1,0,1,3 XU*0,3,1,2 XX*1,1,2,0
4/4 : mute offbeat skip swing : ABAB*2 ABAC*1 : D*2,0,2,0 DU*1,0,1,0 X*0,2,0,1 XU*0,1,0,2
4/4 : mute offbeat skip tie : ABCB*2 ABCD*2 ABCDCBAE*1 : -*0,0,0,1 -U*1,0,3,0 -X*0,0,2,0 D*5,0,1,0
  DU*0,3,0,2 DX*0,0,0,1 XU*0,3,0,2
4/4 : mute offbeat tie : ABCA*1 ABCB*1 : -U*0,0,2,0 DU*1,1,0,0 DX*1,0,0,1 XU*0,1,0,1
4/4 : mute rest : ABAB*2 : .*1,0,1,0 D.*1,0,1,0 X*0,1,0,1 X.*0,1,0,1
4/4 : mute rest skip : ABAB*1 : D*1,0,1,0 X.*0,1,0,1
4/4 : mute skip triplet : ABAC*1 : D*1,0,1,0 X*0,1,0,0 XUD*0,0,0,1
4/4 : offbeat : AAAA*1 AAAAABAB*1 AAAAABABBBBBBCCC*1 AAAABBBB*1 AAAB*1 AABAABAA*1 AABB*1 AABBAAAB*1
  AABBAAAC*1 ABAAAAAC*1 ABAB*2 ABABCCCC*1 ABAC*1 ABBABAAC*1 ABBB*1 ABBBABABAAAACCCC*1 ABBBABABABBBABAC*1
  ABBBBBAA*1 ABBC*1 ABCA*1 ABCC*1 : -*0,12,5,10 -U*0,1,0,1 D*29,14,19,13 DU*11,13,16,16
4/4 : offbeat rest : AAAA*1 AAAB*3 AABBAACC*1 AABC*1 ABAB*1 ABABABAAABABCCAB*1 ABAC*1 ABBB*1 ABCA*2
  ABCACAAC*1 ABCB*1 : -U*0,1,0,2 .*1,4,3,8 .U*4,5,7,2 D*4,1,5,3 D.*3,2,1,1 DU*7,6,3,3
4/4 : offbeat rest sixteenth : AABC*1 : D.*0,0,0,1 DU*1,1,0,0 DUDU*0,0,1,0
4/4 : offbeat rest sixteenth skip : AAABABAC*1 AABC*2 ABCC*1 : .UD-*0,1,0,0 D*2,1,5,1 D--U*1,0,0,0
  D.*0,0,0,1 D.DU*1,1,0,0 DU*0,0,0,2 DUD.*1,1,0,0 DUDU*0,1,0,1
4/4 : offbeat rest sixteenth skip tie : ABCD*1 : -UDU*0,1,0,0 .UDU*0,0,0,1 D-DU*1,0,0,0 D.DU*0,0,1,0
4/4 : offbeat rest skip : AABA*1 AABCCCAAAABCDDDC*1 ABAB*1 ABABABABBBBBCDDD*1 ABCA*3 ABCB*1 ABCC*2 ABCD*2 :
  -.*0,2,0,0 -U*0,1,0,0 .*1,3,1,4 .U*2,2,3,1 D*7,5,6,5 D.*2,0,3,0 DU*6,5,5,8
4/4 : offbeat rest skip swing : ABAB*1 : .U*1,0,1,0 D*0,1,0,1
4/4 : offbeat rest skip swing tie : ABCDEBCA*1 : -U*0,0,2,0 .U*1,0,0,0 D*1,0,0,1 D.*0,0,0,1 DU*0,2,0,0
4/4 : offbeat rest skip tie : AABCDCEE*1 AABCDDDC*1 AABCDEAF*1 ABBC*1 ABCA*1 ABCB*1 ABCBABBD*1
  ABCBABCBABCBAAAD*1 ABCBDBCE*1 ABCD*2 ABCDADBE*1 : -*1,0,1,0 -.*1,0,1,0 -U*1,1,11,1 .*0,1,0,2 .U*3,1,1,0
  D*14,5,3,3 D.*0,0,1,8 DU*1,13,3,7
4/4 : offbeat rest swing : ABAB*1 : D.*1,0,1,0 DU*0,1,0,1
4/4 : offbeat rest tie : AABC*1 ABBB*1 ABCA*2 ABCD*1 : -U*0,1,5,1 .U*2,3,0,0 D.*3,0,0,3 DU*0,1,0,1
4/4 : offbeat sixteenth : AAAA*1 : DUDU*1,1,1,1
4/4 : offbeat sixteenth skip : AAAA*2 AAAB*2 AAABCCCB*1 AABB*3 AABCCACD*1 ABAB*10 ABABAABB*1 ABAC*2 ABCA*1
  ABCB*1 ABCD*2 : -*0,0,0,1 D*7,3,10,12 D--U*1,1,1,0 D-DU*11,11,6,5 DU*1,0,2,1 DU-U*1,3,2,2 DUD-*3,8,4,5
  DUDU*5,3,4,3
4/4 : offbeat sixteenth skip tie : ABAB*4 ABAC*1 ABBC*1 ABCA*2 ABCB*1 ABCC*2 ABCD*5 : --D-*0,3,1,1
  --DU*0,1,0,0 -U-U*0,1,0,0 -UD-*0,1,0,0 -UDU*0,6,4,4 D*3,0,2,10 D--U*5,0,1,0 D-DU*5,2,5,1 DU-U*1,1,0,0
  DUD-*1,1,2,0 DUDU*1,0,1,0
4/4 : offbeat sixteenth tie : AABA*1 ABBB*1 : -UDU*0,1,2,1 DUDU*2,1,0,1
4/4 : offbeat skip : AAAABCAD*1 AAABACAC*1 AAABBCBD*1 ABAA*1 ABAACCCB*1 ABAACCCC*1 ABAB*1 ABABACAB*1
  ABABCCAA*1 ABAC*2 ABACBCBB*1 ABBC*1 ABCA*1 ABCAABAC*1 ABCACCAC*1 ABCC*1 ABCCAACB*1 ABCCCCAA*1 ABCD*1 :
  -*0,3,0,6 -U*0,16,0,5 D*18,8,21,12 DU*14,5,11,9
4/4 : offbeat skip swing : AAABBCBD*1 ABAB*1 : -*0,0,0,1 -U*0,2,0,1 D*2,0,2,1 DU*1,1,1,0
4/4 : offbeat skip swing tie : ABBB*1 ABCA*1 ABCB*1 : -*0,0,1,0 -U*0,2,2,1 D*3,0,0,1 DU*0,1,0,1
4/4 : offbeat skip swing triplet : ABAC*1 : D*0,0,0,1 DU*1,0,1,0 DUD*0,1,0,0
4/4 : offbeat skip tie : AAAAAAAAAABACCDC*1 AAAAAABC*1 AAAAABABABCBADDD*1 AAABBAAC*1 AAABCAAA*1 AAABCABA*1
  AABACCCC*1 AABB*1 AABBAACB*1 AABC*1 AABCAAAD*1 AABCAABCACBCADDD*1 AABCAACB*1 AABCACBC*1 AABCACDA*1
  AABCCCCD*1 ABABABCA*1 ABACABACABBCABAD*1 ABACACDA*1 ABBACACC*1 ABBBAAAA*1 ABBBABCA*1 ABBC*1 ABBCABDA*1
  ABCA*3 ABCAAAAA*1 ABCAAAAD*1 ABCAAABA*1 ABCAABCAABCDBBAC*1 ABCAADBA*1 ABCACAAC*1 ABCACABC*1 ABCADACD*1
  ABCB*1 ABCBABAA*1 ABCBCAAC*1 ABCBCBCA*1 ABCBDBCA*1 ABCC*2 ABCD*1 : -*6,5,18,14 -U*4,20,36,5 D*67,28,26,32
  DU*9,33,6,35
4/4 : offbeat skip triplet : AAAABBCD*1 ABCA*1 : -*0,0,0,1 D*1,0,1,1 DU*1,1,2,1 DUD*1,2,0,0
4/4 : offbeat swing : AAAA*1 AAAB*1 ABAB*1 ABBB*1 : D*3,1,2,0 DU*1,3,2,4
4/4 : offbeat tie : AABA*1 ABBA*1 : -U*0,1,2,0 DU*2,1,0,2
4/4 : offbeat triplet : AABC*1 ABAB*1 ABCA*1 : D*1,0,0,2 DU*2,2,1,0 DUD*0,1,2,1
4/4 : rest : AAAA*1 AAAAABAB*1 AAAB*1 AABAAAAA*1 ABAB*2 ABAC*1 ABBA*1 ABBB*1 ABCA*1 : -*0,2,0,0 .*1,4,5,5
  D*10,4,6,5 D.*1,2,1,2
4/4 : rest skip : AABB*1 AABC*1 ABAB*1 : -*0,0,0,1 D*1,0,3,1 D.*2,3,0,1
4/4 : rest triplet : AABA*1 : D.*1,1,0,1 DUD*0,0,1,0
4/4 : sixteenth skip : AAAA*1 AABB*2 ABAB*2 ABBB*1 : D*1,2,4,4 D--U*2,1,1,0 DU-U*3,3,1,2
4/4 : skip tie triplet : ABCC*1 : -UD*0,1,0,0 D*0,0,1,1 D-U*1,0,0,0
4/4 : skip triplet : AAAA*1 AABC*1 ABAB*1 ABAC*1 : D*1,0,1,1 D-U*3,3,2,1 DUD*0,1,1,2
4/4 : triplet : AAAA*1 AAAB*1 AABB*1 ABAB*1 : D*3,2,2,0 DUD*1,2,2,4
5/4 : accent skip : ABBAB*1 : >D*1,1,0,0 D*0,2,0,1
5/4 : beat : AAAAA*1 ABBAB*1 : -*0,2,0,1 D*2,4,0,1
5/4 : mute offbeat skip : AAABB*1 : DU*1,2,0,0 X*0,1,0,1
5/4 : offbeat skip : AAABB*1 ABACA*1 : -U*0,1,0,0 D*2,3,0,1 DU*0,2,0,1
6/8 : accent compound : AA*1 AB*1 ABBA*1 : >DUD*2,0,0,3 DUD*2,0,0,1
6/8 : accent compound direction : AB*2 : >DUD*1,0,0,0 >UDU*0,0,0,2 DUD*1,0,0,0
6/8 : accent compound mute : AB*1 : >DXX*0,0,0,1 DXX*1,0,0,0
6/8 : accent compound mute skip : AB*1 : >X-U*0,0,0,1 D-U*1,0,0,0
6/8 : accent compound skip : AB*5 : >D*0,0,0,1 >D-U*0,0,0,3 >DUD*0,0,0,1 D*2,0,0,0 D-U*1,0,0,0 DUD*2,0,0,0
6/8 : beat : AA*1 : D*1,0,0,1
6/8 : compound : AA*1 : DUD*1,0,0,1
6/8 : compound direction : AB*1 : DUD*1,0,0,0 UDU*0,0,0,1
6/8 : compound direction skip : AB*1 : D*1,0,0,0 UDU*0,0,0,1
6/8 : compound mute : AA*2 AB*1 : DUD*1,0,0,0 DUX*1,0,0,1 DXX*1,0,0,1 XUD*0,0,0,1
6/8 : compound mute skip : AA*1 AB*1 : D-U*1,0,0,0 D-X*1,0,0,1 X-U*0,0,0,1
6/8 : compound rest skip : AB*1 ABCA*1 : D-U*1,0,0,1 D..*1,0,0,2 DUD*1,0,0,0
6/8 : compound sixteenth skip : AA*1 AB*1 : D-D-D-*1,0,0,0 D-D-DU*1,0,0,2
6/8 : compound skip : AA*1 AABB*1 AB*4 ABCB*1 : D*3,0,0,3 D-U*4,0,0,4 DU-*1,0,0,0 DUD*1,0,0,2
6/8 : compound skip tie : ABCC*1 : -UD*0,0,0,1 D*1,0,0,1 D-U*1,0,0,0
6/8 : rest : AA*1 : D..*1,0,0,1
7/4 : offbeat skip : AAAABAB*1 : D*1,4,0,0 DU*0,1,0,1
9/8 : compound skip : ABB*1 ABC*1 : D*1,0,0,1 D-U*0,2,0,1 DUD*1,0,0,0
"""
