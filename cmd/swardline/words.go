// The words of the help: what each command is for, at length, with examples.
// What a flag says of itself stands with the flag, what a job says with the
// job.
//
// Rules: sentences start small after the program's name and end without a full
// stop; a figure has its unit; a hint says what to type; nothing is ever called
// safe.

package main

import "swardline/cmd/internal/job"

const program = job.Program

const (
	hintNoFile       = "look at the spelling of the path; nothing was written"
	hintNoPermission = "the file's permissions do not allow it; nothing was written"
	hintDiskFull     = "the disk is full; the old file, if any, stands as it was"
)

// words are the help of a command.
type words struct{ short, long, example string }

var rootWords = words{
	short: "read, place, check, hand over and keep true the site plans of machine-mown ground",
	long: `swardline reads site plans of machine-mown ground from any of its formats, puts
them on the ground, checks them against rules and limits, hands them over in the
format and grid that is asked for, and says what happens when the base moves.

` + job.Caution + `

Exit status: 0 done, nothing at or above the threshold; 1 findings at or above
it, or loss under --strict; 2 wrong usage; 3 an input could not be read or an
output not be written.`,
	example: `
swardline convert --look from-the-customer.dxf     what is in a file
swardline place drawing.dxf plan.geojson --marks marks.csv
swardline check plan.geojson
swardline sheet plan.geojson plan.pdf
swardline drift plan.geojson --shift 0.03,-0.02`,
}

var convertWords = words{
	short: "convert a plan to another format or grid, and say what was lost",
	long: `convert reads SRC in any format and writes DST in the format its ending names.
Coordinates are moved to the CRS of --to, or to WGS 84 when the format knows
nothing else. What the target cannot hold is listed; with --strict nothing is
written then. - is standard input or output.

A plan that was corrected for a moved base has two truths: where its lines are, and
what the machine must hold. convert gives the ground, whichever of the two SRC was
written in; --held gives what the machine must hold.

With --look nothing is converted: layers, entities, extents, units, likely roles and
the grids that the numbers fit are listed, so that one knows what to tell a convert or
a place. --write-roles writes a file of roles to start from beside that: every layer,
code, block, property and name with the role its words speak for; --explain roles says
what may stand in it.`,
	example: `
swardline convert plan.geojson plan.kml
swardline convert plan.kml plan.csv --to EPSG:25832 --layout points
swardline convert survey.txt plan.geojson --columns PNEZD --from EPSG:25832 --roles crew.yaml
swardline convert plan.geojson plan.dxf --to site --write-units mm
swardline convert plan.geojson plan.gpx --strict --loss lost.json
swardline convert --look drawing.dxf --near 56.2,9.1
swardline convert --look council.geojson --write-roles roles.yaml
swardline convert council.geojson plan.geojson --roles roles.yaml
swardline convert --explain roles
cat plan.kml | swardline convert - - --write geojson`,
}

var checkWords = words{
	short: "check plans against rules and limits; folders are taken whole",
	long: `check reads every plan named, and every plan in the folders named, puts it on the
ground, runs the rules and prints the findings, the worst plan first. A rule that
lacks its data is reported as unchecked, never as passed.

--report writes the same as .json, .sarif, .xml (JUnit), .geojson, .csv, .html or .txt; it may
be given more than once. --register writes a CSV with a row a plan, --pages a folder
with an index, which maps the sites by the gravest of each, a page a plan, which has it
drawn with its findings, and live pages. Of folders, every file of a known format is taken,
below them too; others are named and counted, names that start with a dot left alone.

--bundle looks back at a hand-over: whether every file is as it was made, by its
manifest, and whether its plan checks as it did; if not, status is 1.

Status 1 means findings at or above --fail-on; status 3, that a file could not be read
(the others are checked all the same), or that the check was interrupted: the reports
then tell of the plans that were done, and how many were not reached.

` + job.Caution,
	example: `
swardline check plan.geojson
swardline check plans/ --report check.html --report check.json
swardline check plans/ --exclude 'old/*' --register sites.csv --pages www/
swardline check plans/ --since last-night.json --report tonight.json
swardline check --compare last-night.json tonight.json
swardline check drawing.dxf --units m --from EPSG:25832 --roles layers.yaml
swardline check plan.kml --limits crew.yaml --fail-on warning
swardline check --bundle handover.zip
swardline check --explain hazard-uncovered
swardline check --explain limits`,
}

var skyWords = words{
	short: "what base, dock and zones see of the sky, and hear of the radio, over a day",
	long: `sky says for the base, every dock, its line-up point, the corridors and a raster over
the zones how many satellites stand clear of buildings, trees, walls and fences with a
height, and how well they fix a position, as shares of a day; how high a mast must be;
and what the radio from the base loses behind what stands in its way.

Without an almanac the sky is the nominal one, which has shares but no times. With
--almanac (YUMA, SEM, RINEX 2 or 3 navigation) and --date it is that day's. A horizon
measured at the antenna is a CSV with the columns azimuth and elevation, in degrees.
--best-place looks for places on the outlines of buildings that see more.

Heights come from the plan: height_m of buildings, trees, walls and fences, radius_m
and crown_base_m of trees, antenna_height_m of the base. What has no height makes what
it may shade unchecked, never open sky. The radio needs the limit radio_mhz.`,
	example: `
swardline sky plan.geojson
swardline sky plan.geojson --best-place --report sky.svg --report sky.json
swardline sky plan.geojson --almanac current.alm --date 2026-10-07 --horizon measured.csv`,
}

var deskWords = words{
	short: "the plan on a page in a browser: open, place, draw, check, hand over, base moved",
	long: `desk opens a page on this machine alone: the address has a key, nobody else on the
network reaches it, and it sends nothing anywhere. What is done on the page is kept in
the browser until it is saved. Ctrl-C ends it.

The same page for phones is a folder for any web server: go run ./cmd/desk -o DIR`,
	example: `
swardline desk
swardline desk drawing.dxf marks.csv
swardline desk plan.geojson --port 8042`,
}

// deskOpen tells where the page is; an address and its key follow.
const deskOpen = "open http://%s/?key=%s\nCtrl-C ends the desk\n"

var mendWords = words{
	short: "repair what needs no judgement: open outlines, repeated points, spikes, their order",
	long: `mend closes outlines, drops repeated points and spikes, and turns outlines the right
way round, and lists each change with its feature, place and area before and after.
Nothing else is touched; a second run changes nothing.`,
	example: `
swardline mend from-the-customer.kml plan.geojson
swardline mend plan.csv mended.csv --layout points
swardline mend drawing.dxf plan.geojson --units m --from EPSG:25832 --roles layers.yaml`,
}

var editWords = words{
	short: "change a plan by edits: roles, names, properties, outlines moved in or out",
	long: `edit changes one feature of PLAN by flags, or several things by a script, writes DST
and lists what changed, with areas on the ground before and after. What no edit speaks
of keeps every digit. A feature is named by its id, else by its name.

A script is JSON, and can be played again:
{"edits": [{"feature": "Rose bed", "role": "hazard"},
           {"feature": "Front lawn", "move_outline_m": -0.5},
           {"feature": "Strip", "remove": true},
           {"feature": "z1", "set": {"crew": "B"}, "unset": ["note"]},
           {"feature": "z1", "move_point": {"ring": 0, "point": 3, "to": [9.1, 56.2]}},
           {"add": {"type": "Feature", ...}}]}
An outline is moved by at most the limit offset_max_m at a time.

What the file of a plan says beside it goes along into every file that is written of it,
as the member beside, and every check reads it. --heard takes that out, once somebody has
read it and what matters to the machine is in the plan.`,
	example: `
swardline edit plan.geojson new.geojson --feature "Rose bed" --role hazard --set hazard_kind=tree
swardline edit plan.geojson new.geojson --feature "Front lawn" --move-outline -0.5
swardline edit plan.geojson new.geojson --feature Strip --active off
swardline edit plan.geojson new.geojson --add measured.gpx
swardline edit plan.geojson new.geojson --script edits.json`,
}

var placeWords = words{
	short: "put a drawing on the ground from marks, and say how well it fits",
	long: `place fits the drawing's coordinates to the marks in --marks by least squares, prints
the residual of each mark and what scale and rotation mean, and writes the plan in
the CRS of --to. The placement is recorded in the plan; --undo takes a placed plan
back to its drawing's coordinates. A residual over the limit residual_m (rule
residual-over-limit) and a suspect mark (mark-suspect) are findings and end with
status 1; the plan is written all the same.

A marks file is a CSV with the columns name, x, y in the drawing's unit and e, n or
lon, lat on the ground; h, crs and sigma may follow. Without x and y the marks are
found in the drawing by their names: points, blocks, or points beside a text, in any
case, without spaces and zeros before a number. Degrees may have minutes and
seconds; a grid in feet is fitted in metres. Two marks are enough for a rigid
or similarity fit and show next to nothing of its errors: use four.`,
	example: `
swardline place drawing.dxf plan.geojson --marks marks.csv
swardline place drawing.dxf plan.csv --marks marks.csv --model rigid --to EPSG:25832 --report fit.json
swardline place drawing.dxf plan.geojson --marks marks.csv --roles layers.yaml --units mm
swardline place --undo plan.geojson drawing.dxf
swardline place --explain mark-suspect`,
}

var driftWords = words{
	short: "say what a moved base does to a plan on the ground",
	long: `drift displaces the ground that the machine drives and reports what it enters and
leaves, how much movement the plan bears, and what to do. Tell it what changed:

  --shift E,N[,U]            the antenna moved by that many metres
  --base LAT,LON[,H]         where the antenna truly stands now
  --stored LAT,LON[,H]       what the base now stores as its position
  --lean ANGLE,LENGTH,BEARING  a pole leans: degrees, metres, degrees from true north
  --frame NAME [--epoch YEAR]  the stored coordinates are now in another frame
  --marks FILE               marks of the plan measured again, matched by name

--correct DST writes the plan corrected for the change, as the machine must hold it,
with an entry in its history. Whatever is made from DST (convert, sheet, check, drift)
is on the ground again, and says how far off the machine holds it; convert --held
gives what the machine holds. The movement of the last correction, told again, is
refused without --again; --base, --stored and --marks say where the base is now, and
move nothing when told again. --record DST only adds the base as it stands to the history.

` + job.Caution,
	example: `
swardline drift plan.geojson --shift 0.03,-0.02
swardline drift plan.geojson --shift -0.1,0.05,0.01 --report drift.json
swardline drift plan.geojson --base -33.8567844,151.2152967,42.1
swardline drift plan.geojson --lean 1.5,2,90
swardline drift plan.geojson --frame ITRF2014 --epoch 2026.5 --plate EURA
swardline drift plan.geojson --marks again.csv --correct corrected.geojson --date 2026-05-31
swardline drift plans/ --shift 0.1,0 --base-name mast`,
}

var drivenWords = words{
	short: "lay logs over a plan: what was driven and missed, and whether the base moved",
	long: `driven reads logs of positions - NMEA 0183, GPX with times, CSV with a column of
times, .pos - and lays them over PLAN: the ground covered at the machine's width and the
pieces missed, time and depth where the machine should not be, how corridors and docks
were kept, and what betrays a moved base. Of a folder, the plan that the logs fit is
taken. Only fixed positions are judged; float, single and unstated ones count apart.

The machine steers by the very base in question, so its own log looks right however far
the base has moved. What betrays it is ground that stays where it is: rests in the dock's
contacts, on a mark, an outline walked along an edge (--walked). A receiver on the machine
that stands on another base or a correction service (--receiver independent) shows the
whole track displaced; then corridors, and outlines gone round whole at one distance, are
the evidence. Either gives the movement of the driven ground in the sign of drift --marks,
a day at a time, and never says unchanged when it could not have seen a movement.

--as-outline makes a zone of a walked outline, with the standard error of each point,
compares it with the one that the plan has by that name, and puts it in its place.

--speed and --efficiency give the hours that each zone takes: effective field capacity is
speed times width times efficiency (ASABE EP496, from memory). 'swardline check --explain
driven-base-moved' says more, as for the other rules driven-*.

` + job.Caution,
	example: `
swardline driven plan.geojson monday.nmea tuesday.nmea
swardline driven plan.geojson week/*.nmea --report week.html --report missed.geojson
swardline driven plans/ unknown.gpx --quality fixed
swardline driven plan.geojson service.pos --receiver independent --log-frame ITRF2020 --log-epoch 2026.4
swardline driven plan.geojson walk.csv --walked "North wall"
swardline driven plan.geojson walk.csv --as-outline "Front lawn" --to new.geojson
swardline driven plan.geojson monday.nmea --speed 2.2 --efficiency 0.7 --week-hours 40`,
}

var sheetWords = words{
	short: "draw a plan to scale: SVG, PDF, or one HTML file that fetches nothing",
	long: `sheet checks the plan and draws it with its findings: to scale on paper (.svg, .pdf),
or as one live page (.html) that works from a file, without a network. Roles are
told by fill, hatch and line, not by colour alone. Without --scale the largest
round scale that fits one sheet is taken; a plan that does not fit at the scale
asked for is divided into sheets with an index. A .svg of several sheets is one
file a sheet: DST for the first, then DST with -2, -3 and so on before its ending.
The plan is turned on its paper where that wins a scale. --for says who gets the
sheet: areas for the client, coordinates, boundary and hazards for the authority,
findings, marks, edges and cable for the crew. The title block has the fields of
ISO 7200, from --title-block or the plan; what is missing stays an empty line. A
PDF is tagged, and its maps have their place on the earth for viewers that read it.

--track lays logs over the plan, as driven does: the track in colours and strokes by the
quality of its positions, the ground that was missed hatched, what they say of the base.

--bundle makes the whole hand-over in a folder, or in a .zip: sheet, live page,
KML for any viewer, GeoJSON, CSV, GeoPackage and DXF (with .prj) in the grid of
--crs, areas and lengths, check report, a README.txt that says what each is, and a
manifest with the SHA-256 of each. --for leaves out what its reader has no use for.

` + job.Caution,
	example: `
swardline sheet plan.geojson plan.pdf
swardline sheet plan.geojson plan.svg --paper A3 --scale 1:500 --crs EPSG:25832
swardline sheet plan.geojson plan.pdf --for crew --title-block block.yaml
swardline sheet plan.geojson live.html
swardline sheet plan.geojson week.pdf --track monday.nmea --track tuesday.nmea
swardline sheet plan.geojson --bundle hand-over.zip --title 'North lawn' --date 2026-05-31
swardline sheet drawing.dxf plan.pdf --units m --from EPSG:25832 --roles layers.yaml`,
}

var crsWords = words{
	short: "list, show and find coordinate reference systems",
	example: `
swardline crs list utm etrs89
swardline crs show EPSG:25832 --at 56.2,9.1,50
swardline crs near -33.8,151.1`,
}

var crsListWords = words{
	short: "list the systems that have every word in code, name, area, datum or method",
	example: `
swardline crs list sweden
swardline crs list utm etrs89
swardline crs list "lambert conic" france`,
}

var crsShowWords = words{
	short: "show a system: parameters, area of use, axes, and scale and convergence at a place",
	example: `
swardline crs show EPSG:25832
swardline crs show EPSG:25832 --at 56.2,9.1,50
swardline crs show site.prj`,
}

var crsNearWords = words{
	short: "rank the grids that a local would use at a place",
	long: `near ranks the grids whose area of use holds the place, the one that a local surveyor
would use first at the top. For each it gives the point scale factor, the convergence in
degrees, how well its datum is tied to a present-day frame, and why it stands there.`,
	example: `
swardline crs near 56.2,9.1
swardline crs near -33.8,151.1 --most 0`,
}
