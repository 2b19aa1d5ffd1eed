package pricing

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Offer is a row of a price list: one pack, board, roll or stick of an item at
// one supplier.
type Offer struct {
	Place                             estimate.Place
	Index                             int // of a plan: its place in Lists.Offers
	Supplier, Item, Code, Description string
	Content                           string            // as written: "10.1 fl oz", "16 ft", "5 lb"
	Amount                            int64             // what one serves, base units of the item's dimension; of an item that is cut, its length
	Unit                              string            // how it is sold: tube, box, board
	Price                             measure.UnitPrice // of one
	ByMeasure                         bool              // the list prices it by a measure, such as the foot; Price and Unit are what that makes of one
	Currency                          string            // "" = the job's
	MinTempF                          estimate.Maybe[int64]
	LeadDays                          estimate.Maybe[int64]
	Effective, Expires                estimate.Maybe[measure.Date] // the price holds from, and up to and including
	Invented                          bool                         // of a list whose prices are made up
}

// minTempF returns the lowest temperature at which the offer can be used: its
// own, else the item's.
func (o Offer) minTempF(item estimate.Item) estimate.Maybe[int64] {
	if o.MinTempF.Set {
		return o.MinTempF
	}
	return item.MinTempF
}

// tooCold reports whether the coldest forecast is below what the offer takes.
func (o Offer) tooCold(coldest estimate.Maybe[int64], item estimate.Item) bool {
	least := o.minTempF(item)
	return coldest.Set && least.Set && least.V > coldest.V
}

// bySupplier divides offers by supplier, in the order of the names.
func bySupplier(offers []Offer) [][]Offer {
	var out [][]Offer
	for _, o := range offers {
		i := 0
		for i < len(out) && out[i][0].Supplier < o.Supplier {
			i++
		}
		if i == len(out) || out[i][0].Supplier != o.Supplier {
			out = append(out, nil)
			copy(out[i+1:], out[i:])
			out[i] = nil
		}
		out[i] = append(out[i], o)
	}
	return out
}

// offersAt returns those of the offers that are a supplier's.
func offersAt(offers []Offer, supplier string) []Offer {
	var out []Offer
	for _, o := range offers {
		if o.Supplier == supplier {
			out = append(out, o)
		}
	}
	return out
}

// Lists are what the suppliers offer and ask, and what the estimator wants of
// them. Each supplier has one name in them (see SupplierNames).
type Lists struct {
	Offers    []Offer
	Terms     []Terms
	Pins      map[string]Pin // by item key; before what Terms say
	Overrides Overrides
}

// Sold returns the items that can be bought for the install phase of a job: at a price that
// has not expired, and not too cold to use. nil where nothing is offered.
func (l Lists) Sold(job *estimate.Job, items estimate.Items) map[string]bool {
	if len(l.Offers) == 0 {
		return nil
	}
	sold := map[string]bool{}
	for _, o := range l.Offers {
		item, known := items.Get(o.Item)
		cold := o.tooCold(job.Coldest(estimate.PhaseInstall), item) && !job.ColdAccepted.Of(o.Item)
		if known && o.Amount > 0 && o.Price > 0 && !o.expired(job) && !cold {
			sold[o.Item] = true
		}
	}
	return sold
}

// expired reports whether an offer's price does not hold on the job's date.
func (o Offer) expired(job *estimate.Job) bool {
	return job.Date.Set && o.Expires.Set && o.Expires.V < job.Date.V
}
