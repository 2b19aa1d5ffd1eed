package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// owner returns how an item stands that the owner brings, nil where he brings none.
func (w *writer) owner(item string) *pricing.Owner {
	if buy := w.purchase(item); buy == nil || buy.Owner == nil {
		return nil
	}
	return pricing.OwnerOf(w.in.Plan, w.in.Remaining, item)
}

// owners lists the purchases of a plan that the owner brings.
func (w *writer) owners() (list []pricing.Purchase) {
	for _, buy := range w.in.Plan.Purchases {
		if buy.Owner != nil {
			list = append(list, buy)
		}
	}
	return list
}

// ownerLook is red where nobody has something that is needed, amber where that is not
// known.
func ownerLook(o *pricing.Owner) xlsx.Look {
	switch {
	case o.NotStated:
		return xlsx.WarnWrap
	case o.IsShort():
		return xlsx.BadWrap
	}
	return xlsx.TextWrap
}

// ownerDoubts say on Summary what the owner brings, and what of it nobody has.
func (w *writer) ownerDoubts() (out []doubt) {
	n, short, ask := 0, 0, 0
	for _, buy := range w.owners() {
		n++
		switch o := w.owner(buy.Item.Key); {
		case o.NotStated:
			ask++
		case o.IsShort():
			short++
		}
	}
	if n > 0 {
		out = append(out, counted("Items by owner", n, "", pricing.ByOwner, "not in the total, and not ordered: see Receiving"))
	}
	if ask > 0 {
		out = append(out, counted("Items by owner, how much not stated", ask, "", "ask", "see On hand and Receiving"))
	}
	if short > 0 {
		out = append(out, doubt{"Items by owner, short", xlsx.Num(short, xlsx.Count), xlsx.Str(xlsx.Bad, "nobody has them"), "see Materials and Receiving"})
	}
	return out
}

// ownerWords name what the materials of the bid leave out for the owner; "" for nothing.
func (w *writer) ownerWords() string {
	var keys []string
	for _, buy := range w.owners() {
		keys = append(keys, buy.Item.Key)
	}
	if len(keys) == 0 {
		return ""
	}
	return "; by owner, not included: " + strings.Join(keys, ", ")
}

// onlyByOwner reports whether all that an opening takes of a class is by owner.
func (w *writer) onlyByOwner(opening int, class string) bool {
	some := false
	for _, r := range w.in.Takeoff.Requirements {
		if item, _ := w.in.Book.Items.Get(r.Item); r.Opening != opening || r.Item == "" || item.Class != class {
			continue
		}
		if buy := w.purchase(r.Item); buy == nil || buy.Owner == nil {
			return false
		}
		some = true
	}
	return some
}

// ownersMaterials lists the materials that the owner brings, to tick when they come.
func (w *writer) ownersMaterials(p *xlsx.Sheet) {
	list := w.owners()
	if len(list) == 0 {
		return
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Materials by owner: he brings them, and none of them is ordered"))
	type row = pricing.Purchase
	text := func(l xlsx.Look, of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell { return xlsx.Str(l, of(r)) }
	}
	t := xlsx.NewTable(p, "MaterialsByOwner", []xlsx.Column[row]{
		{Head: "Rec'd", Cell: func(row) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }},
		{Head: "Phase", Cell: text(xlsx.Text, func(r row) string { return string(r.Phase) })},
		{Head: "Longest", Cell: text(xlsx.TextWrap, w.longestWords)},
		{Head: "Item", Cell: text(xlsx.Big, func(r row) string { return r.Item.Name })},
		{Head: "Needed", Cell: text(xlsx.TextWrap, w.neededWords)},
		{Head: "Stated", Cell: text(xlsx.TextWrap, func(r row) string { return w.statedWords(r.Item.Key) })},
		{Head: "Short", Cell: func(r row) xlsx.Cell {
			switch o := w.owner(r.Item.Key); {
			case o.NotStated:
				return xlsx.Str(xlsx.Warn, "ask")
			case o.IsShort():
				return xlsx.Str(xlsx.BadWrap, o.ShortWords())
			}
			return xlsx.Str(xlsx.Text, "none")
		}},
	})
	t.HeaderOnly()
	for _, buy := range list {
		p.MinHeight(t.Row(buy), unitHeight)
	}
}

// longestWords is the longest piece of an item that is cut.
func (w *writer) longestWords(buy pricing.Purchase) string {
	if buy.Owner.Longest == 0 {
		return ""
	}
	return w.u.Words(buy.Owner.Longest)
}

// statedWords are what the owner says that he brings of an item.
func (w *writer) statedWords(item string) string {
	switch o := w.owner(item); {
	case o.NotStated && o.Stated != "":
		return o.Stated + ", and more: not stated"
	case o.NotStated:
		return notStated
	case o.Stated == "":
		return "none"
	default:
		return o.Stated
	}
}

// neededWords are the packs to bring of an item, of the size that the owner states, else of
// one on a price list, and the amount; of an item that is cut its pieces.
func (w *writer) neededWords(buy pricing.Purchase) string {
	o, item := buy.Owner, buy.Item
	if item.Cut {
		return fmt.Sprintf("%d pieces, %s", o.Pieces, w.crewWords(item.Key, item.Dim, o.Needed))
	}
	amount := w.crewWords(item.Key, item.Dim, o.Needed)
	if item.Dim == estimate.Each {
		amount = fmt.Sprintf("%d pieces", o.Needed)
	}
	packs := func(size int64) int64 { return max(o.Packs, measure.Packs(o.Needed, size)) }
	for _, h := range w.in.Book.Job.OnHand {
		if h.Item == item.Key && h.By == estimate.ByOwner && h.Amount > 0 {
			return fmt.Sprintf("%d x %s (%s)", packs(h.Amount), h.Content, amount)
		}
	}
	for _, offer := range w.in.Lists.Offers {
		if offer.Item == item.Key && offer.Amount > 0 {
			return packWords(packs(offer.Amount), offer) + ", " + amount
		}
	}
	return amount
}
