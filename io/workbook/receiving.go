package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
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
func (w *writer) receivingSheet(_ *xlsx.Sheet) {
	p := w.receiving
	w.top(p, "Receiving", "Check size, hand, flange, label of tempered glass, and damage BEFORE you sign; write what is wrong on the delivery note.")
	for _, s := range w.liftWords() {
		p.Banner(xlsx.Big, s, len(receivingHeads))
	}
	header := p.Row(xlsx.Strs(xlsx.Heading, receivingHeads...)...)
	list, openings := estimate.Receiving(w.in.Takeoff), int64(0)
	for _, r := range list {
		openings += r.Count
		arrived := xlsx.Blank(xlsx.Tick)
		if r.Arrived {
			arrived = xlsx.Str(xlsx.Tick, "here")
		}
		row := p.Row(arrived, xlsx.Str(xlsx.Big, r.Mark), xlsx.Formula(w.qtyCell(r.Opening), r.Count, xlsx.BigCount), xlsx.Str(xlsx.Big, w.orderedWords(r)), xlsx.Str(xlsx.TextWrap, w.joinedWords(r)), xlsx.Str(xlsx.TextWrap, string(r.Kind)),
			toFill(r.Operation), toFill(r.Hand), toFill(r.Flange), toFill(r.Tempered), toFill(r.SuppliedBy), toFill(r.Status), xlsx.Blank(xlsx.Tick))
		p.LeastHeight(row, unitHeight)
	}
	p.Widths(receivingWidths...)
	p.Finish("UnitsReceived", header, len(receivingHeads), 2)
	if len(list) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "Nothing is to come."))
		return
	}
	p.Row(xlsx.Blank(xlsx.TotalText), xlsx.Str(xlsx.TotalText, "Openings"), xlsx.Formula(formula.SumOf("C", header+1, p.Next()-1), openings, xlsx.TotalCount))
}

// liftWords says who lifts, with the job's own note on its heavy units: of the
// job as a whole only the lifting is a note, all else warns.
func (w *writer) liftWords() []string {
	out := []string{"CAUTION  Two people or more for large units. Stand them upright, out of the weather."}
	for _, x := range w.in.Problems {
		if x.Severity == estimate.Note && x.Place == (estimate.Place{File: w.in.File}) {
			out = append(out, "CAUTION  "+x.Sentence())
		}
	}
	return out
}

// toFill is a cell of what the schedule says, or a box to write it in.
func toFill(s string) xlsx.Cell {
	if s == "" {
		return xlsx.Blank(xlsx.Tick)
	}
	return xlsx.Str(xlsx.TextWrap, s)
}

// orderedWords is the size of a unit as ordered, with its depth where that is
// known.
func (w *writer) orderedWords(r estimate.Receipt) string {
	s := w.u.Size(r.Size)
	if r.Depth.Set {
		s += "\n" + w.u.Shop(r.Depth.V) + " deep"
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
		s := w.u.Size(r.UnitSizes[i])
		if n > 1 {
			s = fmt.Sprintf("%d x (%s)", n, s)
		}
		out, i = append(out, s), i+n
	}
	return strings.Join(out, "; ")
}
