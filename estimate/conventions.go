package estimate

import (
	"fmt"
	"strings"
)

// Convention is a choice that neither a formula nor a detail's step tells, and
// that whoever recomputes an estimate has to know.
type Convention struct{ Stage, Topic, Rule string }

// Conventions are listed on the sheet Sources. The independent recomputation
// (.ci/recompute.py) names the topic of each where it follows it.
var Conventions = []Convention{
	{"sizes", "call size", "The first figures are the width, in feet and inches: 3068 is 3-0 x 6-8."},
	{"sizes", "which size rules", "Trim follows the measured size, of several readings the largest of each side. " +
		"Flashing, beads, joints, foam and fasteners follow Frame and Rough opening. " +
		"What is measured more or less than ordered lies in the joints between mulled units, evenly."},
	{"sizes", "odd pieces", "Where readings of a mark differ by more than 1/8 in and more than half of its measured pieces agree within that " +
		"(of two such lots, the one with the smaller size), the others are openings of their own, MARK piece N; else all are on hold."},
	{"sizes", "pan depth", "A pan is as deep as its unit behind the flange: Jamb depth of the opening, else of Job. Where both are blank, that of a door " +
		"follows from its wall, " +
		"framing and sheathing of the opening's Wall depth or of Job (rule sizes, jamb depth), and a pan that waits for its depth is planned for that depth " +
		"too, 6-9/16 in where no stocked jamb is deep enough. " +
		"A metal pan on slab or masonry is flat. Along pan means along the rough opening."},
	{"sizes", "brickmould", "Trim, and edges along outside, go round the brickmould: width + 2 brickmould, height + 1, of windows + 2. " +
		"A unit with brickmould is measured to its outside, and has no trim unless Trim asks for it."},
	{"sizes", "shape", "Except along pan, each edge of Shape round is a quarter of the circle; of round head, the head is a quarter, each jamb an eighth and " +
		"what its height is more than half the width. Other shapes count as rectangles. A unit that is none, or of which words say so, has no trim " +
		"and no metal along its head; unless Trim is none, or its trim is cut or hung, it is on hold: no boards are planned for its shape (the shape), " +
		"nor a drip cap."},
	{"sizes", "studs between", "Units joined by studs between stand in an opening each, as much wider than its unit as the rough opening is than the " +
		"frame: edges along rough " +
		"opening, frame, flange and pan, their corners, pans, and the width that is leveled, are those of each. Along outside and trim they are one. The " +
		"joint between them is that of mulled " +
		"units, or where Unit widths is blank setting studs between; then each is (frame - joints) / units wide, rounded down to 1 nm. None of them is mulled."},
	{"sizes", "sample", "Where Sample accepted is filled in, a window of which some pieces are measured is measured."},
	{"sizes", "leaves", "A door is a pair where Operation says so. Where Operation is blank and an entry door's frame is wider than 45 in, leaves is " +
		"'not stated'."},
	{"sizes", "reason of a hold", "Trim of a unit that is neither delivered nor set is 'not delivered', else 'not measured' until it is measured. " +
		"A frame measured more than 1/4 in off the order, or out of square, is on hold for that, and a door without a leg drop for that too; " +
		"a rigid or metal pan is on hold where the jamb depth is blank on the opening and it is an owner's unit, or, blank on Job too, a window, or a door " +
		"in a wall " +
		"deeper than stocked jambs; so is a rigid pan whose Fits to is more than 1/2 in off the depth of its door. An overhead door on a slab waits for no " +
		"leg drop. " +
		"With outside insulation and no WRB plane on Job, what is of class pan, tape or metal, or a coat of the install phase, is on hold, unless it waits for " +
		"another reason; " +
		"a strip of coil is on hold where one of its pieces is."},
	{"takeoff", "order of rows", "Openings by mark, then the steps of their detail in the order of Details. With studs between, heads and sills of " +
		"each opening make a row each, jambs one; " +
		"pans and their laps make a row for each width."},
	{"takeoff", "foot on a slab", "Along jambs on a slab or on masonry a piece is longer at the head only; on wood at both ends."},
	{"takeoff", "ends of a cap", "What is of class metal is longer by End of Items at each end of a head: it is folded up there."},
	{"takeoff", "wall depth", "Framing and sheathing are the opening's Wall depth, else studs and sheathing of Job. Where WRB plane is outside of " +
		"insulation, " +
		"the insulation is added for tape, coats and leveling."},
	{"takeoff", "fasteners", "Of a family, the shortest that is long enough for what With's through says it passes; where none is, there is no row and " +
		"Checks says so. " +
		"The gap at a jamb is half of what the rough opening is wider than the frame."},
	{"takeoff", "tape of a family", "Where setting tape sill is a family, a step takes its member with the fewest runs, then the narrowest, of those " +
		"that Prices offers; " +
		"and are neither expired nor too cold for the install phase; of all, where there is none. Tape flexible is yes where all of them are."},
	{"takeoff", "patches", "A tape that only patches are cut from (steps at points or corners) gives way to the narrowest other tape that the job " +
		"needs for more than patches, " +
		"as wide at least, and flexible if it is."},
	{"takeoff", "thicker rod", "Backer rod gives way to the next thicker one of its family that the job needs, where that is no more than 1.5 times " +
		"the gap of each of its joints; the thinnest first."},
	{"takeoff", "cover over a mull", "No trim nails are counted for the piece over a mull; with studs between they are. A casing that is ripped counts " +
		"at its board's full width."},
	{"takeoff", "gap of a row", "Edges of a step that follow one another with the same gap make one row."},
	{"takeoff", "no rod", "A joint that asks for thicker rod than any on Items has no row of backer rod; Checks says so."},
	{"takeoff", "coat", "A coat without 'by wall depth' is as wide as the item of setting tape wall, at doors too."},
	{"takeoff", "long pan", "A rigid pan's middle beyond the longest kit takes sections of the same depth, each with a coupler."},
	{"takeoff", "brake", "A metal pan beyond the brake length is brake lengths and one last piece; each length is a row."},
	{"takeoff", "metal at the trim", "Metal along the trim is on hold with it; flashing tape along the trim is not."},
	{"takeoff", "screws", "Pocket screws are counted at bored ends, by the width of the bored board; trim of overhead doors, nailed up loose, has none."},
	{"takeoff", "longest nail", "The nail is the shortest of its family that is long enough for the thickest board that is nailed; where none is, " +
		"there is no row. " +
		"The pocket screw is the one whose Fits from and Fits to hold the thickest board."},
	{"takeoff", "whole units", "A sloped pan and the cut of a miter are rounded down to 1 nm; an area to 1 square micrometer, " +
		"a share of a coil to 1 nm and a volume to 1 nL, a half up."},
	{"trim", "boards of a kind", "Entry and patio doors take the head, leg and mull casing of doors, overhead doors and windows their own."},
	{"trim", "gap of a side", "The joint of the legs is that of their board, the head's and the bottom's that of theirs."},
	{"trim", "equal boards", "A layout that needs boards of one width and has others gets no trim, nor what goes along the trim; Checks says so."},
	{"trim", "trim head", "Along trim, the head is as long as the whole trim frame is wide, in every layout."},
	{"trim", "drop of a window", "Legs of a window with three sided trim end at its frame: no leg drop."},
	{"trim", "drop of an overhead door", "Legs of an overhead door without a leg drop are planned to the floor: no leg drop, no leg clearance."},
	{"cutting", "end trim", "End trim is that of Items, where blank that of Job for boards. Boards on hand have none taken off."},
	{"cutting", "last cut", "The cut that frees an offcut takes a kerf too, as far as there is wood for it."},
	{"cutting", "longer", "Pieces on hold are planned longer by setting extra length, unmeasured trim."},
	{"cutting", "extra length", "Unless it is spliced, a piece that fits the longest stock (on hand, or at its supplier) only without that extra is " +
		"planned as long as the stock; where only stock on hand is longer and there is too little of it, as long as the longest at the supplier."},
	{"cutting", "spares", "Spares are as long as the longest piece, or part, beside which the longest stock (at the supplier, or on hand) has room for the " +
		"shortest and a kerf; where there is none, there are no spares. Of what is all on hand, the stock is that of a supplier that offers it."},
	{"cutting", "to buy", "Of what is cut, To buy is all pieces and spares on bought stock as planned: longer where on hold, parts with their laps."},
	{"cutting", "coil", "Pieces of trim coil lie side by side; each takes its blank's share of the coil's width."},
	{"cutting", "too long", "A piece longer than all stock is not bought where its item cannot be joined, or it is no longer than setting shortest piece " +
		"to splice."},
	{"buying", "content", "A gallon is 231 in3, a pound 0.45359237 kg. What a pack holds is rounded down to 1 nL, 1 square micrometer or one piece."},
	{"buying", "whole pieces", "What is counted is rounded up to whole pieces after waste; lengths, areas and volumes are not rounded."},
	{"buying", "packs", "Of what is not cut: those packs of one supplier that hold To buy at the lowest cost."},
	{"buying", "packs opened", "Of an item with Openings a pack or Days open, no fewer packs than rule buying, packs opened says, of the openings that " +
		"need it, by Qty, each with studs between; " +
		"all that the item costs is used, packs beyond those too."},
	{"buying", "one gun", "Of sealant by volume that is sold in sausages and in other packs, the cheaper of packs of one of the two " +
		"is taken, unless both together " +
		"cost less by more than setting minimum saving for a second gun; of equal cost the others."},
	{"buying", "phase", "An item is needed in the first of the phases of its steps."},
	{"buying", "late", "An offer that arrives after its phase begins (job date and lead days) is not taken while another arrives in time."},
	{"buying", "cold", "An offer without Min temp F has that of its item. An item has to do in the coldest of the phases of its steps: " +
		"shop by its own forecast, and only " +
		"there one whose Where is shop; trim and finish by that of trim, where it is blank by coldest forecast. " +
		"Items named by cold accepted, before its colon, are " +
		"taken all the same."},
	{"buying", "on hand", "Of packs To buy is less what rows of On hand without a day under Counted hold (Content x Count), at least 0; so are packs " +
		"opened by their Count. " +
		"An item of which any row of On hand is Furnished by owner is not bought: Computed and To buy are none, Extension and Cost of " +
		"its rows say so, and no supplier is chosen for it. It has no spares. What rows of it say is on hand; a row by owner with a blank Count " +
		"does not state how much. Short, of packs: To buy as if it were bought, rounded up to 0.1 fl oz or 1 mL, 0.01 SF or m2, 1/16 in or 1 mm, " +
		"and packs opened beyond those on hand; of what is cut: the pieces that Boards has no place for, and their length, all like ones of a " +
		"piece in parts where one part has none. Its state is by owner, and how much is short, or that it is not stated; where To buy has rows, " +
		"of what is left."},
	{"left", "done", "Set ends phase install, cut the shop, hung trim, finished finish, and all before; of some openings of a mark Status is '2 set, 2 " +
		"delivered', and openings that it does not name are not stated. All else of such a mark follows the status that is least far."},
	{"left", "bought", "A line of Purchases counts unless its State is draft or cancelled: of one received or returned Received (blank = Count), else the " +
		"larger of Count and Received; less Returned (of a returned one, blank = all) and Lost. One holds Pack received, else Pack. It costs " +
		"those before Returned and Lost at Price, each line to the cent, Tax and Freight, less Credit. Cost to finish: materials to buy, " +
		"delivery and tax of their orders; unit costs of builder and installer at openings whose Status is not stated; labor of each task at " +
		"openings at which its Phase is not done (of one without, that are not finished); all other costs; sales tax as in the bid."},
	{"left", "need", "To buy: Need is of the rows of Takeoff at all openings but those at which their phase was done by Done before of a line that counts " +
		"(where none counts, at which it is done), of packs with waste, rounded up to 1 nm, square micrometer or nL; Done is Need less that of " +
		"the openings at which the phase is not done. On hand: rows with the last day under Counted of the item, else those without a day. " +
		"Bought: all lines that count. Items as on Materials, but those of which nothing is needed since and nothing was bought; then those of " +
		"which something was bought and nothing is needed, by key. State is all is done, where nothing is left to do; bought, and not needed; " +
		"counted and the day; else as on Materials."},
	{"left", "packs", "Left to buy of packs: Need less Done, less what is there, at least 0. There is: of an item that was counted, On hand and lines of a " +
		"later Date; else On hand and Bought less Done, at least 0. Packs that do not keep " +
		"are there by number, and hold what these hold: On hand first, then Bought in their order, less the packs opened for the openings of " +
		"Need by more than for those that are left. The cheapest way as on Materials, of the supplier that To buy names."},
	{"left", "boards", "Boards, Cut list and Offcuts are of what is left: pieces at openings at which the phase is not done, on what is there (with a day: On " +
		"hand and later lines) as stock on hand, bought boards without the end trim of both ends. Pieces that are done since the first order " +
		"lie on what was bought and on hand, as far as it holds them, and say CUT. Where one of them would lie on a board to buy, or the plan be dearer, " +
		"the item is planned without them, on what they leave when they are planned alone. Spares as ever, beside CUT pieces too."},
	{"buying", "order of items", "Classes as on By opening, within a class as on Items, the largest content first."},
	{"cost", "used", "What openings use of an item costs its extension x To buy / Bought, at most all of it, each line of Materials to the cent."},
	{"cost", "shares", "A row of Takeoff costs what its item has cost up to and with it less what it had cost up to the row before, " +
		"each to the cent by amount: the rows of an item sum to its cost."},
	{"cost", "quotients", "What is divided (used, shares, cost of one of several, price by opening) is rounded to six decimals, then to the cent, a half " +
		"up."},
}

// Formula returns the length of a piece in words: whole multiples of the sizes
// that shape its frame.
func (p LayoutPiece) Formula() string {
	terms := []struct {
		times int64
		of    string
	}{
		{p.W, "w"}, {p.H, "h"}, {p.Gap, "bottom joint"}, {p.Head, "head board"}, {p.Leg, "leg board"}, {p.Bottom, "bottom board"},
		{p.Over, "head overhang"}, {p.Horn, "sill horn"}, {p.Drop, "leg drop"},
	}
	var out strings.Builder
	for _, t := range terms {
		if t.times == 0 {
			continue
		}
		sign, times := " + ", t.times
		if times < 0 {
			sign, times = " - ", -times
		}
		if out.Len() > 0 {
			out.WriteString(sign)
		}
		if times > 1 {
			fmt.Fprintf(&out, "%d ", times)
		}
		out.WriteString(t.of)
	}
	return out.String()
}
