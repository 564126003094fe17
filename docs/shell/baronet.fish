# baronet.fish: completion for fish.
# Made from the program's tables by `make docs`; do not edit.

# Names that the netlist on the command line gives with a keyword, and those that each has.
function __baronet_names
    printf '%s\n' $argv[2..]
    for file in (commandline -opc | string match '*.air')
        sed -n "s/^$argv[1][[:space:]]\{1,\}\([A-Za-z][A-Za-z0-9_-]*\).*/\1/p" $file 2>/dev/null
    end
end

complete -c baronet -f
complete -c baronet -n 'not __fish_use_subcommand' -k -a '(__fish_complete_suffix .air)'
complete -c baronet -n __fish_use_subcommand -l help -d 'the list of commands'
complete -c baronet -n __fish_use_subcommand -l version -d 'which version this is'
complete -c baronet -n __fish_use_subcommand -a check -d 'is the netlist sound, what is in it, are its requirements met'
complete -c baronet -n __fish_use_subcommand -a rates -d 'pressures, heights, rates, ride frequencies, roll and balance'
complete -c baronet -n __fish_use_subcommand -a stroke -d 'load, pressure and rate over the whole travel'
complete -c baronet -n __fish_use_subcommand -a times -d 'is each tank in play, is a cross-link quick enough, how fast it settles'
complete -c baronet -n __fish_use_subcommand -a response -d 'dynamic stiffness and the body\'s answer to the road, by frequency'
complete -c baronet -n __fish_use_subcommand -a ride -d 'ride modes and damping, comfort and grip on a road, load and balance'
complete -c baronet -n __fish_use_subcommand -a play -d 'events in time: bump, bend, brake, switch, load, fill, dump, leak, burst'
complete -c baronet -n __fish_use_subcommand -a faults -d 'what each single failure does: burst, stuck valve, lost supply or current'
complete -c baronet -n __fish_use_subcommand -a states -d 'the valve-state table: states side by side, with what changes'
complete -c baronet -n __fish_use_subcommand -a parts -d 'what to buy, what it must be rated for, how to wire the solenoids'
complete -c baronet -n __fish_use_subcommand -a vary -d 'any figure against one size or two, with how strongly it follows'
complete -c baronet -n __fish_use_subcommand -a size -d 'sizes that meet targets: tanks, hoses, restrictors, from bounds or lists'
complete -c baronet -n __fish_use_subcommand -a spread -d 'what part tolerances, load, temperature and altitude do to a figure'
complete -c baronet -n __fish_use_subcommand -a report -d 'all of it in one page of HTML, the answer first'
complete -c baronet -n __fish_use_subcommand -a draw -d 'the plumbing in plan view, as a drawing'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride faults states vary size spread report draw' -l state -x -a '(__baronet_names state rest)' -d 'one valve state; every state where not given'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride play faults states vary size spread report draw' -l case -x -a '(__baronet_names case )' -d 'with the masses of this load case'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride play faults states parts vary size spread report draw' -l units -x -a 'metric imperial si' -d 'units of what is printed (metric)'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride play faults states parts vary size spread report draw' -l as -x -a 'text csv json xml svg html' -d 'format (text; report: html, draw: svg); svg where there are pictures'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride play faults states parts vary size spread report draw' -l out -r -F -d 'write there; whole or not at all'
complete -c baronet -n '__fish_seen_subcommand_from states' -l all -d 'every combination of up to 12 solenoids'
complete -c baronet -n '__fish_seen_subcommand_from stroke response' -l motion -x -a '(__baronet_names motion heave pitch roll warp)' -d 'heave, roll, pitch, warp, one-wheel:RL, ...'
complete -c baronet -n '__fish_seen_subcommand_from stroke' -l level -x -a 'instant settled parked' -d 'which air moves along (settled)'
complete -c baronet -n '__fish_seen_subcommand_from stroke response play vary' -l points -x -d 'rows of each curve, 3 to 100000'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride play faults states vary size spread report' -l swing -x -d 'swing at the wheel that moves most (10mm@1Hz)'
complete -c baronet -n '__fish_seen_subcommand_from times' -l bend -x -d 'how long a bend lasts (3s)'
complete -c baronet -n '__fish_seen_subcommand_from response' -l from -x -d 'lowest frequency (0.01Hz)'
complete -c baronet -n '__fish_seen_subcommand_from response' -l to -x -d 'highest frequency (50Hz)'
complete -c baronet -n '__fish_seen_subcommand_from response' -l road -d 'as csv: the body\'s answer to the road'
complete -c baronet -n '__fish_seen_subcommand_from ride' -l road-class -x -a 'A B C D E F G H' -d 'road by ISO 8608 (C)'
complete -c baronet -n '__fish_seen_subcommand_from ride' -l speed -x -d 'speed on that road (80km/h)'
complete -c baronet -n '__fish_seen_subcommand_from play' -l event -x -a '(__baronet_names event )' -d 'one event; every event where not given'
complete -c baronet -n '__fish_seen_subcommand_from stroke response play vary' -l plot -x -d 'draw it, by its name in the first line of --as csv'
complete -c baronet -n '__fish_seen_subcommand_from faults' -l drop -x -d 'how far a corner may go down (25mm)'
complete -c baronet -n '__fish_seen_subcommand_from vary size spread' -l change -x -d 'what may change; again for more. A list 4mm,6mm or +-5% in place of the bounds; names joined by + change together'
complete -c baronet -n '__fish_seen_subcommand_from vary size spread' -l from-list -x -d 'the last --change is one of these'
complete -c baronet -n '__fish_seen_subcommand_from vary spread' -l of -x -d 'such as \'ride_frequency of RL ride in easy\'; again for more'
complete -c baronet -n '__fish_seen_subcommand_from size' -l want -x -d 'or above, below, highest, lowest; again for more'
complete -c baronet -n '__fish_seen_subcommand_from vary' -l by-ratio -d 'steps of equal ratio, not of equal difference'
complete -c baronet -n '__fish_seen_subcommand_from vary spread' -l share -x -d 'as csv: the third of sixteen shares of the rows'
complete -c baronet -n '__fish_seen_subcommand_from spread' -l runs -x -d 'how many vehicles are drawn (1000)'
complete -c baronet -n '__fish_seen_subcommand_from spread' -l seed -x -d 'another number draws other vehicles (0)'
complete -c baronet -n '__fish_seen_subcommand_from vary size spread' -l workers -x -d 'processors that work at once (all)'
complete -c baronet -n '__fish_seen_subcommand_from size' -l write -r -F -d 'the netlist with the sizes found, comments kept'
complete -c baronet -n '__fish_seen_subcommand_from size' -l replace -d '--write may take the place of the netlist itself'
complete -c baronet -n '__fish_seen_subcommand_from draw' -l show -x -a 'bores pressures bores,pressures' -d 'sizes or pressures beside the names'
complete -c baronet -n '__fish_seen_subcommand_from check rates stroke times response ride play faults states parts vary size spread report draw' -l help -d 'this help'
