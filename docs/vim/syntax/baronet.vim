" Vim syntax file: netlists of baronet (*.air)
" Made from the program's tables by `make docs`; do not edit.

if exists('b:current_syntax')
  finish
endif

syn case match
syn iskeyword @,48-57,_,-

syn keyword baronetAttribute adiabatic altitude area at axle between bore braking bump bump-stop burst bypass carries cd cg-height coil critical current cv damper exponent fittings from height hold in isothermal kv lateral length levelled load normally on one-way open opens-above opens-at pitch-inertia pressure profile rated rebound-stop road-class roll roll-axis roll-inertia roughness rubber seat set shut sonic speed state step supply temperature thermal to tyre unlevelled unsprung until volts volume when xt ratio of with rate closed above below over lost
syn match baronetKeyword /^\%(about\|ambient\|gas\|vehicle\|corner\|bar\|profile\|spring\|tank\|tee\|hose\|restrictor\|solenoid\|check-valve\|regulator\|relief\|compressor\|supply\|state\|motion\|case\|charge\|event\|require\|let\|include\)\>/
syn match baronetUnit /\%(um\|s\|rad\/(m\/s2)\|rad\|psig\|psia\|psi\|ms\|mph\|mm2\|mm\|min\|mL\|mA\|m3\/s\|m3\/h\|m3\/(s\.Pa)\|m3\|m2\|m\/s2\|m\/s\|m\|lbf\/in\|lbf\.s\/in\|lbf\.ft\/deg\|lbf\|lb\.ft2\|lb\|km\/h\|kg\.m2\|kg\|kPag\|kPaa\|kPa\|kN\/m\|kN\.s\/m\|kN\|in3\|in2\|in\|h\|gal\|g\|ft\|deg\/g\|deg\/(m\/s2)\|deg\|cm3\|cm2\|cm\|cfm\|barg\|bara\|bar\|V\|Pag\|Paa\|Pa\|N\/mm\|N\/m\|N\.s\/m\|N\.m\/rad\|N\.m\/deg\|N\|MPag\|MPaa\|MPa\|L\/s\.bar\|L\/min\|L\|K\|Hz\|F\|C\|A\)\%([^A-Za-z0-9_.\/-]\|$\)\@=/ contained
syn match baronetNumber /\%(^\|[ \t,=]\)\@1<=[-+]\?\%(\d\+\.\?\d*\|\.\d\+\)\%([eE][-+]\?\d\+\)\?\s*/ nextgroup=baronetUnit
syn region baronetText start=/"/ end=/"/ oneline
syn keyword baronetTodo TODO contained
syn match baronetComment /#.*/ contains=baronetTodo,@Spell

hi def link baronetKeyword Statement
hi def link baronetAttribute Identifier
hi def link baronetNumber Number
hi def link baronetUnit Type
hi def link baronetText String
hi def link baronetComment Comment
hi def link baronetTodo Todo

let b:current_syntax = 'baronet'
