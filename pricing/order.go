package pricing

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Order is what one supplier gets.
type Order struct {
	Terms     Terms
	Materials measure.Money // of all lines
	Delivery  measure.Money
	Tax       measure.Money
	Below     bool // the materials are less than the supplier's minimum order
}

// Total is what the order comes to.
func (o Order) Total() measure.Money { return o.Materials.Plus(o.Delivery, o.Tax) }

// orders adds up what each supplier gets, and warns of orders that are too
// small.
func (b *buyer) orders(purchases []Purchase) []Order {
	var out []Order
	for _, t := range b.suppliers {
		o, lines := Order{Terms: t}, 0
		for _, p := range purchases {
			for _, l := range p.Lines {
				if l.Offer.Supplier == t.Supplier {
					o.Materials, o.Tax = o.Materials.Plus(l.Extension), o.Tax.Plus(b.lineTax(l))
					lines++
				}
			}
		}
		if lines == 0 {
			continue
		}
		o.Delivery = t.Fee(o.Materials)
		o.Tax = o.Tax.Plus(b.orderTax(o))
		o.Below = t.Below(o.Materials)
		if o.Below {
			b.say(t.Place, estimate.Warning,
				fmt.Sprintf("the order at %s comes to %s, below its minimum of %s", t.Supplier, o.Materials, t.MinimumOrder.V),
				"order together with another job, ask for less, or keep its items to another supplier")
		}
		out = append(out, o)
	}
	return out
}

// lineTax returns the tax of a line where it is rounded line by line.
func (b *buyer) lineTax(l Line) measure.Money {
	if !b.job.TaxByItem {
		return 0
	}
	return Tax(l.Extension, b.job.Tax)
}

// orderTax returns the tax of an order that is not found line by line.
func (b *buyer) orderTax(o Order) measure.Money {
	taxable := measure.Money(0)
	if !b.job.TaxByItem {
		taxable = o.Materials
	}
	if b.job.TaxDelivery {
		taxable = taxable.Plus(o.Delivery)
	}
	return Tax(taxable, b.job.Tax)
}
