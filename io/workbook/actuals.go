package workbook

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// actualRow is a line of Actuals: a pack size beside hours of a day, each nil where there
// is none.
type actualRow struct {
	size   *packSize
	worked *estimate.Worked
}

// packSize is a pack, board or roll size of an item that the job bought or had.
type packSize struct {
	estimate.Leftover
	name   string
	bought estimate.Maybe[int64] // by Purchases, with what was on hand; not set = nothing says how many
}

// packSizes lists the sizes that were bought and on hand, without any purchase those that
// are planned; first those of which is stated what is left.
func (w *writer) packSizes() (list []*packSize) {
	at := map[[2]string]*packSize{}
	size := func(item, pack string) *packSize {
		key := [2]string{item, strings.ToLower(pack)}
		if at[key] == nil {
			it, _ := w.in.Book.Items.Get(item)
			at[key] = &packSize{Leftover: estimate.Leftover{Item: item, Pack: pack}, name: cmp.Or(it.Name, item)}
			list = append(list, at[key])
		}
		return at[key]
	}
	job := w.in.Book.Job
	for _, l := range job.Actuals.Left {
		size(l.Item, l.Pack).Leftover = l
	}
	add := func(item, pack string, n int64) {
		s := size(item, pack)
		s.bought = estimate.Given(s.bought.V + n)
	}
	for _, b := range job.Purchases {
		if b.Item != "" && b.There() > 0 {
			add(b.Item, cmp.Or(b.PackReceived, b.Pack), b.There())
		}
	}
	for _, h := range job.OnHand {
		add(h.Item, cmp.Or(h.Content, w.u.Words(h.Length)), h.Count)
	}
	for _, p := range w.in.Plan.Purchases {
		for _, l := range p.Lines {
			if len(job.Purchases) == 0 {
				size(l.Offer.Item, l.Offer.Content)
			}
		}
	}
	return list
}

func actualColumns() []xlsx.Column[actualRow] {
	left := func(l xlsx.Look, of func(*packSize) xlsx.Cell) func(actualRow) xlsx.Cell {
		return func(r actualRow) xlsx.Cell {
			if r.size == nil {
				return xlsx.Blank(l)
			}
			return of(r.size)
		}
	}
	hours := func(l xlsx.Look, of func(*estimate.Worked) xlsx.Cell) func(actualRow) xlsx.Cell {
		return func(r actualRow) xlsx.Cell {
			if r.worked == nil {
				return xlsx.Blank(l)
			}
			return of(r.worked)
		}
	}
	packs := func(v estimate.Maybe[estimate.Packs]) xlsx.Cell {
		return xlsx.Optional(float64(v.V)/float64(estimate.Pack), v.Set, xlsx.InputNumber)
	}
	return []xlsx.Column[actualRow]{
		{Head: "Description", Width: 31, Cell: left(xlsx.Text, func(s *packSize) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.name) })},
		{Head: "Pack", Width: 9.5, Cell: left(xlsx.InputText, func(s *packSize) xlsx.Cell { return filled(xlsx.InputText, s.Pack) })},
		{Head: "Bought", Width: 7.5, Cell: left(xlsx.Count, func(s *packSize) xlsx.Cell { return xlsx.Optional(s.bought.V, s.bought.Set, xlsx.Count) })},
		{Head: "Left", Width: 8.5, Cell: left(xlsx.InputNumber, func(s *packSize) xlsx.Cell { return packs(s.Left) })},
		{Head: "Broken", Width: 7.5, Cell: left(xlsx.InputCount, func(s *packSize) xlsx.Cell { return xlsx.Optional(s.Broken.V, s.Broken.Set, xlsx.InputCount) })},
		{Head: "Carried", Width: 7.5, Cell: left(xlsx.InputNumber, func(s *packSize) xlsx.Cell { return packs(s.Carried) })},
		{Head: "Date", Width: 10.5, Cell: hours(xlsx.InputDate, func(h *estimate.Worked) xlsx.Cell { return xlsx.Optional(h.Date.V, h.Date.Set, xlsx.InputDate) })},
		{Head: "Phase", Width: 7.5, Cell: hours(xlsx.InputText, func(h *estimate.Worked) xlsx.Cell { return filled(xlsx.InputText, string(h.Phase)) })},
		{Head: "Time", Width: 8.5, Cell: hours(xlsx.InputText, func(h *estimate.Worked) xlsx.Cell { return filled(xlsx.InputText, string(h.Time)) })},
		{Head: "Hours", Width: 7, Cell: hours(xlsx.InputNumber, func(h *estimate.Worked) xlsx.Cell { return xlsx.Num(hoursValue(h.Hours), xlsx.InputNumber) })},
		{Head: "Marks", Width: 9, Cell: hours(xlsx.InputText, func(h *estimate.Worked) xlsx.Cell { return filled(xlsx.InputText, strings.Join(h.Marks, "; ")) })},
		{Head: "Notes", Width: 10, Cell: hours(xlsx.InputText, func(h *estimate.Worked) xlsx.Cell { return filled(xlsx.InputText, h.Notes) })},
		{Head: "Item", Width: 20, Unprinted: true, Cell: left(xlsx.InputText, func(s *packSize) xlsx.Cell { return filled(xlsx.InputText, s.Item) })},
	}
}

// actualRoles: no result of the estimate follows from what the job took; learn reads it.
var actualRoles = inputRoles{
	free:  []string{"Pack", "Left", "Broken", "Carried", "Date", "Phase", "Time", "Hours", "Marks", "Notes", "Item"},
	shown: []string{"Description", "Bought"},
}

// Rows of Actuals.
const (
	fewestActuals = 24   // so that the page is filled
	crewRow       = 17.5 // height of one, in points: to be written into by hand
)

// actualsSheet writes the page on which a crew says what the job took: on the left what is
// left of each pack size, on the right the hours.
func (w *writer) actualsSheet(p *xlsx.Sheet) {
	p.InputPage()
	w.top(p, "Actuals", "What the job took, once it is done; no price follows from it. On the left what is left, in packs (2.5), boards and rolls; an offcut has a "+
		"line of its own. On the right the hours of all persons together, a line a day and phase, of travel, set-up, cleanup and call-backs apart. The two "+
		"halves of a row have nothing to do with each other. Then: sillwright learn.")
	t := xlsx.NewTable(p, "Actuals", roled(w, actualRoles, actualColumns()))
	t.Header()
	sizes, hours := w.packSizes(), w.in.Book.Job.Actuals.Hours
	for i := range max(fewestActuals, len(sizes)+fewRows, len(hours)+fewRows) {
		var row actualRow
		if i < len(sizes) {
			row.size = sizes[i]
		}
		if i < len(hours) {
			row.worked = &hours[i]
		}
		p.MinHeight(t.Row(row), crewRow)
	}
	t.Column("Phase").Choice(estimate.PhaseWords, "Phase", "Choose from the list.")
	t.Column("Time").Choice(estimate.WorktimeWords, "Time", "What the hours went into. Blank = work.")
	t.Column("Broken").Wholes(0, 1e6, "Broken", "A whole number, 0 or more.")
	for _, head := range []string{"Left", "Carried"} {
		t.Column(head).Decimals(0, 1e6, head, "How many packs, boards or rolls; of a part 0.5.")
	}
	t.Column("Hours").Decimals(0, hoursInput.most, "Hours", fmt.Sprintf("Of all persons together, up to %v.", hoursInput.most))
	t.Finish()
	w.help(&t.Grid, "Actuals")
	w.hold(watch("Actuals", &t.Grid, actualRoles, "Item", "Pack", "Date", "Phase"))
}
