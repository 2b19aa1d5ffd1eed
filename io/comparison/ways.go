package comparison

import (
	"fmt"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// way is a way to buy what the job needs from the quotes.
type way struct {
	name string
	pricing.Way
	materials, delivery string // formulas; "" = a value stands there
	best                bool   // drawn as a sum
	missing             bool   // there is no such way
}

// lowestOffer is the way that others are held against.
const lowestOffer = "Lowest complete quote"

// lowest is the lowest quote that has everything.
func (w *quotesWriter) lowest() way {
	if w.c.Lowest < 0 {
		return way{name: lowestOffer, Way: pricing.Way{Suppliers: []string{"none: each quote lacks something"}}, missing: true}
	}
	q := w.quotes[w.c.Lowest]
	at := func(head string) string { return w.totals.At(key(q.place), head).Local() }
	return way{name: lowestOffer, Way: pricing.Way{Suppliers: []string{q.Supplier}, Materials: q.Materials, Delivery: q.Delivery},
		materials: at(ranked) + "+" + at("Other items"), delivery: at("Delivery")}
}

// writeWays writes the ways to buy: the lowest whole offer, one supplier first, and
// the best split with what it saves.
func (w *quotesWriter) writeWays(p *xlsx.Sheet) {
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Ways to buy"))
	all := []way{
		w.lowest(),
		{name: "Fewest suppliers that have everything", Way: w.c.First},
		{name: "Best split", Way: w.c.Split, materials: w.items.Cell(w.sums.materials, bestSplit).String(), best: true},
	}
	if len(w.c.Doubtful) > 0 {
		all = append(all, way{name: "Split, no doubtful price", Way: w.c.Firm})
	}
	w.ways = xlsx.NewTable(p, "WaysToBuy", w.wayColumns(all[0]))
	w.ways.HeaderOnly()
	for _, x := range all {
		w.ways.Keyed(x.name, x)
	}
	w.totals.Banner(xlsx.Note, w.waysWords())
}

func (w *quotesWriter) wayColumns(lowest way) []xlsx.Column[way] {
	return []xlsx.Column[way]{
		{Head: "Way", Cell: func(x way) xlsx.Cell { return xlsx.Str(x.look(xlsx.Text, xlsx.TotalText), x.name) }},
		{Head: "Suppliers", Cell: func(x way) xlsx.Cell {
			return xlsx.Str(x.look(xlsx.TextWrap, xlsx.TotalText), strings.Join(x.Suppliers, ", "))
		}},
		{Head: "Materials", Cell: func(x way) xlsx.Cell { return x.amount(x.materials, x.Materials) }},
		{Head: "Delivery", Cell: func(x way) xlsx.Cell { return x.amount(x.delivery, x.Delivery) }},
		{Head: "Total", Cell: func(x way) xlsx.Cell { return x.amount("{Materials}+{Delivery}", x.Cost()) }},
		{Head: "Saves", Cell: func(x way) xlsx.Cell {
			switch {
			case x.name == lowestOffer:
				return xlsx.Blank(xlsx.Money)
			case lowest.missing:
				return dash()
			}
			return xlsx.Formula(fmt.Sprintf("ROUND(%s-{Total},2)", w.ways.At(lowestOffer, "Total").Local()), lowest.Cost()-x.Cost(), xlsx.Money)
		}},
	}
}

func (x way) look(usual, best xlsx.Look) xlsx.Look {
	if x.best {
		return best
	}
	return usual
}

func (x way) amount(f string, v measure.Money) xlsx.Cell {
	if x.missing {
		return dash()
	}
	return xlsx.Formula(f, v, x.look(xlsx.Money, xlsx.Total))
}

// waysWords say how good the best split is, and what no way includes.
func (w *quotesWriter) waysWords() string {
	c := w.c
	words := "The best split is proven: no other costs less."
	if c.Gap > 0 {
		words = fmt.Sprintf("Another split could cost at most %s less.", c.Gap)
	}
	if len(c.Doubtful) > 0 {
		words = "WARNING: the best split buys at prices that are in doubt: " + strings.Join(c.Doubtful, ", ") + ". " + words
	}
	if len(c.NotFirm) > 0 {
		words += " Without doubtful prices nobody quotes: " + strings.Join(c.NotFirm, ", ") + "."
	}
	if len(c.Unquoted) > 0 {
		words += " Nobody quotes, and no way includes: " + strings.Join(c.Unquoted, ", ") + "."
	}
	if !c.Ranked() {
		words += " No item is quoted by all: there is no ranking."
	}
	return words
}
