package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
)

// receivingHeads are the columns of Receiving.
var (
	receivingHeads  = []string{"Tick", "Mark", "Count", "Size ordered", "Units", "Kind", "Operation", "Hand", "Flange", "Tempered", "Supplied by", "Status", "Damage, notes"}
	receivingWidths = []float64{7, 10, 8, 24, 18, 12, 12, 9, 12, 11, 11, 10.5, 26}
)

// unitHeight is the height of a line for a unit, in points.
const unitHeight = 28.0

// receivingSheet lists the units to tick when they arrive. What the schedule does
// not say is a box to fill in at the tailgate.
func (w *writer) receivingSheet() {
	p := w.receiving
	w.top(p, "Receiving", "Check size, hand, flange, label of tempered glass, and damage BEFORE you sign; write what is wrong on the delivery note.")
	for _, s := range w.liftWords() {
		p.banner(big, s, len(receivingHeads))
	}
	header := p.row(strs(heading, receivingHeads...)...)
	list, openings := estimate.Receiving(w.in.Takeoff), int64(0)
	for _, r := range list {
		openings += r.Count
		arrived := blank(tick)
		if r.Arrived {
			arrived = str(tick, "here")
		}
		row := p.row(arrived, str(big, r.Mark), formula(w.qtyCell(r.Opening), r.Count, bigCount), str(big, w.orderedWords(r)), str(textWrap, w.joinedWords(r)), str(textWrap, string(r.Kind)),
			toFill(r.Operation), toFill(r.Hand), toFill(string(r.Flange)), toFill(r.Tempered), toFill(string(r.SuppliedBy)), toFill(string(r.Status)), blank(tick))
		p.height(row, max(unitHeight, p.rowHeight(row, receivingWidths)))
	}
	p.widths(receivingWidths...)
	p.finish("UnitsReceived", header, len(receivingHeads), 2)
	if len(list) == 0 {
		p.row(str(text, "Nothing is to come."))
		return
	}
	p.row(blank(totalText), str(totalText, "Openings"), formula(sumOf("C", header+1, p.next()-1), openings, totalCount))
}

// liftWords says who lifts, with the job's own note on its heavy units: of the
// job as a whole only the lifting is a note, all else warns.
func (w *writer) liftWords() []string {
	out := []string{"CAUTION  Two people or more for large units. Stand them upright, out of the weather."}
	for _, x := range w.in.Problems {
		if x.Severity == estimate.Note && x.Place == (estimate.Place{File: w.in.File}) {
			out = append(out, "CAUTION  "+cautionWords(x))
		}
	}
	return out
}

// toFill is a cell of what the schedule says, or a box to write it in.
func toFill(s string) cell {
	if s == "" {
		return blank(tick)
	}
	return str(textWrap, s)
}

// orderedWords is the size of a unit as ordered, with its depth where that is
// known.
func (w *writer) orderedWords(r estimate.Receipt) string {
	s := w.u.size(r.Size)
	if r.Depth.Set {
		s += "\n" + w.u.shop(r.Depth.V) + " deep"
	}
	return s
}

// joinedWords lists the sizes of joined units, like ones counted: two units of a
// kind come as "2 x (24 x 60)".
func (w *writer) joinedWords(r estimate.Receipt) string {
	var out []string
	for i := 0; i < len(r.UnitSizes); {
		n := 1
		for i+n < len(r.UnitSizes) && r.UnitSizes[i+n] == r.UnitSizes[i] {
			n++
		}
		s := w.u.size(r.UnitSizes[i])
		if n > 1 {
			s = fmt.Sprintf("%d x (%s)", n, s)
		}
		out, i = append(out, s), i+n
	}
	return strings.Join(out, "; ")
}
