package workbook

import (
	"cmp"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// offcut is a length that is left over, so many times.
type offcut struct {
	item   string
	length measure.Length
	count  int
}

// offcutsSheet lists what is left over and worth keeping for the next job.
func (w *writer) offcutsSheet() {
	p := w.offcuts
	useful := w.in.Book.Job.UsefulOffcut
	w.top(p, "Offcuts", "What the plans on Boards leave over and is worth keeping: "+w.u.words(useful)+" or longer (useful offcut, on Job).")
	heads := []string{"Item", "What it is", "Length", "Length, " + w.u.name(estimate.Lengthwise), "Count"}
	p.row(strs(heading, heads...)...)
	list := w.usefulOffcuts(useful)
	for _, o := range list {
		item, _ := w.in.Book.Items.Get(o.item)
		p.row(str(text, o.item), str(textWrap, item.Name), str(textRight, w.u.words(o.length)), num(w.u.length(o.length), inches), num(o.count, count))
	}
	if len(list) == 0 {
		p.row(str(text, "none"))
		p.freeze(firstRow-1, 1)
	} else {
		p.finish("UsefulOffcuts", firstRow-1, len(heads), 1)
	}
	p.widths(20, 44, 14, 12, 9)
}

// usefulOffcuts returns what the plans leave over of at least a length, in the
// order of the purchases, the longest of each item first.
func (w *writer) usefulOffcuts(least measure.Length) (list []offcut) {
	for _, buy := range w.in.Plan.Purchases {
		first := len(list)
		for _, c := range buy.Plans {
			for _, b := range c.Plan.Boards {
				if b.Offcut < max(1, least) {
					continue
				}
				at := slices.IndexFunc(list[first:], func(o offcut) bool { return o.length == b.Offcut })
				if at < 0 {
					list = append(list, offcut{item: buy.Item.Key, length: b.Offcut})
					at = len(list) - 1 - first
				}
				list[first+at].count++
			}
		}
		slices.SortStableFunc(list[first:], func(a, b offcut) int { return cmp.Compare(b.length, a.length) })
	}
	return list
}
