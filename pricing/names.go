package pricing

import (
	"maps"
	"slices"
	"strings"
)

// SupplierNames gives each supplier one name: a supplier is the same in any
// case, and is called as it was written first. The zero value knows no supplier.
//
// Names are made one when lists are read; from then on they are compared as they
// stand.
type SupplierNames struct{ first map[string]string } // by the name in lower case

// Of returns the name of the supplier that is written so.
func (n *SupplierNames) Of(written string) string {
	folded := strings.ToLower(written)
	name, known := n.first[folded]
	if !known {
		if n.first == nil {
			n.first = map[string]string{}
		}
		name, n.first[folded] = written, written
	}
	return name
}

// Known reports whether the supplier was met before.
func (n *SupplierNames) Known(written string) bool {
	_, known := n.first[strings.ToLower(written)]
	return known
}

// Lists returns lists in which each supplier has one name: that of the first
// offer, else of the first terms, else of the first pin by item. Of two terms of
// one supplier the first hold.
func (n *SupplierNames) Lists(l Lists) Lists {
	l.Offers, l.Terms, l.Pins = slices.Clone(l.Offers), slices.Clone(l.Terms), maps.Clone(l.Pins)
	for i := range l.Offers {
		l.Offers[i].Supplier = n.Of(l.Offers[i].Supplier)
	}
	seen := map[string]bool{}
	l.Terms = slices.DeleteFunc(l.Terms, func(t Terms) bool {
		again := seen[n.Of(t.Supplier)]
		seen[n.Of(t.Supplier)] = true
		return again
	})
	for i := range l.Terms {
		l.Terms[i].Supplier = n.Of(l.Terms[i].Supplier)
	}
	for _, item := range slices.Sorted(maps.Keys(l.Pins)) {
		pin := l.Pins[item]
		pin.Supplier = n.Of(pin.Supplier)
		l.Pins[item] = pin
	}
	return l
}

// Plan returns a plan whose purchases and orders call each supplier by its name
// here. The choice of suppliers is left as it is.
func (n *SupplierNames) Plan(p Plan) Plan {
	p.Purchases, p.Orders = slices.Clone(p.Purchases), slices.Clone(p.Orders)
	for i := range p.Purchases {
		b := &p.Purchases[i]
		if b.Supplier != "" {
			b.Supplier = n.Of(b.Supplier)
		}
		b.Lines = slices.Clone(b.Lines)
		for k := range b.Lines {
			b.Lines[k].Offer.Supplier = n.Of(b.Lines[k].Offer.Supplier)
		}
	}
	for i := range p.Orders {
		p.Orders[i].Terms.Supplier = n.Of(p.Orders[i].Terms.Supplier)
	}
	return p
}
