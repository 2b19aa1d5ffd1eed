package pricing

import (
	"slices"

	"sillwright/estimate"
)

// RequestLine is what a supplier is asked the price of.
type RequestLine struct {
	Item        estimate.Item
	Code        string // the supplier's, where it is known
	Description string
	Content     string // of one; "" = nobody offers the item, and what one holds is asked too
	Unit        string
	Count       estimate.Maybe[int64] // as planned; not set = see Need
	Need        string                // how much the job needs, in words, where no count is planned
	NeededBy    estimate.Phase
}

// Request lists what a plan buys, as it is asked of a supplier: his own code and words
// where he offers the same, else those of the plan. Supplier "" is any of them. What the
// owner brings and what is on hand is not asked for.
func Request(book estimate.Book, p Plan, lists Lists, supplier string) (out []RequestLine) {
	for _, buy := range p.Purchases {
		switch {
		case buy.Owner != nil:
		case len(buy.Lines) == 0 && buy.State != "":
			out = append(out, RequestLine{Item: buy.Item, Description: buy.Item.Name, Need: buy.needWords(book.Job.MM), NeededBy: buy.Phase})
		default:
			for _, l := range buy.Lines {
				if l.Count() == 0 {
					continue
				}
				line := RequestLine{Item: buy.Item, Description: buy.Item.Name, Content: l.Offer.Content, Unit: l.Offer.Unit, Count: estimate.Given(l.Count()), NeededBy: buy.Phase}
				at := slices.IndexFunc(lists.Offers, func(o Offer) bool {
					return o.Item == buy.Item.Key && o.Amount == l.Offer.Amount && (o.Supplier == supplier || supplier == "" && o.Supplier == l.Offer.Supplier)
				})
				if at >= 0 {
					o := lists.Offers[at]
					line.Description, line.Content, line.Unit = o.Description, o.Content, o.Unit
					if supplier != "" {
						line.Code = o.Code
					}
				}
				out = append(out, line)
			}
		}
	}
	return out
}
