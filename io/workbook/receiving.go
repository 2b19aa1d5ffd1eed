package workbook

import (
	"strings"

	"sillwright/estimate"
)

// receivingHeads are the columns of Receiving.
var receivingHeads = []string{"Tick", "Mark", "Count", "Size ordered", "Units", "Kind", "Operation", "Hand", "Flange", "Tempered", "Supplied by", "Status", "Damage, notes"}

// receivingSheet lists the units to tick when they arrive. What the schedule does
// not say is a box to fill in at the tailgate.
func (w *writer) receivingSheet() {
	p := w.receiving
	w.top(p, "Receiving", "Check size, hand, flange, safety-glass label and damage before you sign. Two people or more for large units.")
	header := p.row(strs(heading, receivingHeads...)...)
	list := estimate.Receiving(w.in.Takeoff)
	for _, r := range list {
		arrived := blank(tick)
		if r.Arrived {
			arrived = str(tick, "here")
		}
		p.height(p.row(arrived, str(text, r.Mark), formula(w.qtyCell(r.Opening), r.Count, count), str(textRight, w.u.size(r.Size)), str(textWrap, w.joinedWords(r)), str(text, string(r.Kind)),
			toFill(r.Operation), toFill(r.Hand), str(text, r.Flange), toFill(r.Tempered), str(text, r.SuppliedBy), str(text, r.Status), blank(tick)), 24)
	}
	p.widths(7, 10, 7, 21, 22, 13, 12, 9, 17, 10, 11, 10, 28)
	p.finish("UnitsReceived", header, len(receivingHeads), 2)
}

// toFill is a cell of what the schedule says, or a box to write it in.
func toFill(s string) cell {
	if s == "" {
		return blank(tick)
	}
	return str(textWrap, s)
}

// joinedWords lists the sizes of joined units.
func (w *writer) joinedWords(r estimate.Receipt) string {
	var out []string
	for _, s := range r.UnitSizes {
		out = append(out, w.u.size(s))
	}
	return strings.Join(out, "; ")
}
