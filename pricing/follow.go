package pricing

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// RunAgain is the state of an item whose plan an edit has overtaken.
const RunAgain = "run estimate again"

// Planned is a line of an estimate that was written before: what its plan
// bought of an offer.
type Planned struct {
	Place     estimate.Place // of the extension
	Item      string
	Supplier  string
	Key       string // Line.Key; "" = the item was not bought
	Computed  estimate.Maybe[int64]
	For       string                        // Purchase.Fingerprint when estimated
	State     string                        // why it was not bought, or not all of it; "" = it was
	Extension estimate.Maybe[measure.Money] // as it stands in the file

	// The cells Computed, Count and Unit price, and the price when estimated.
	Computes, Count Stored[int64]
	Price           Stored[measure.UnitPrice]
	PriceBefore     estimate.Maybe[measure.UnitPrice]
}

// Follow prices an estimate as it was edited, by the plan that it holds: it
// plans nothing. Packs of one size are counted from the need; counts of cut
// items and of mixed packs are the plan's, and where what was planned has
// changed since, or a supplier is chosen that the plan does not buy from, the
// item has the state RunAgain and is not bought: its supplier is the one that it is
// now to be bought from, if that is known. The sums in the file are not
// trusted: where they differ a note says so.
//
// Of the plan returned Share, Unused and Choice are not filled in, nor what the
// purchases use of what they buy.
func Follow(book estimate.Book, t estimate.Takeoff, lists Lists, planned []Planned) Plan {
	f := follower{buyer: newBuyer(book, &t, lists), planned: map[string][]Planned{}}
	for _, l := range planned {
		f.planned[l.Item] = append(f.planned[l.Item], l)
	}
	var plan Plan
	for _, n := range f.needs {
		p := f.item(n)
		plan.Purchases = append(plan.Purchases, p)
		plan.Materials += p.Cost
	}
	f.finish(book, &plan)
	return plan
}

// follower turns the lines of an estimate into purchases.
type follower struct {
	*buyer
	planned map[string][]Planned // by item
}

// item makes the purchase that an estimate planned of an item.
func (f *follower) item(n need) Purchase {
	p := f.buyer.purchase(n)
	if o := f.ownerBrings(n); o != nil {
		return f.byOwner(p, n, o)
	}
	lines := f.planned[n.item.Key]
	if len(lines) == 0 {
		return f.again(p, estimate.Place{}, "it is not in the plan of the estimate")
	}
	at := lines[0].Place
	if lines[0].Key == "" {
		return f.unbought(p, n, lines[0])
	}
	from := lines[0].Supplier
	p.ByPlan = n.item.Cut || len(lines) > 1 || p.Opened > 0
	if s := f.supplier(from); s >= 0 && f.suppliers[s].bans(n.item.Key) {
		return f.again(p, at, fmt.Sprintf("it is planned at %s, where it is not to be bought", from))
	}
	if pin, pinned := f.pinOf(n.item.Key); pinned && pin.Supplier != from {
		p.Supplier = pin.Supplier
		return f.again(p, pin.Place, fmt.Sprintf("it is planned at %s, and is now to be bought at %s", from, pin.Supplier))
	}
	p.Supplier = from
	offers := offersAt(f.usable.offers[n.item.Key], p.Supplier)
	keys := lineKeys(offers)
	for _, l := range lines {
		i := slices.Index(keys, l.Key)
		switch {
		case i < 0 && len(offers) == 0 && !p.ByPlan:
			return f.unpriced(p, l.Place)
		case i < 0:
			return f.again(p, l.Place, fmt.Sprintf("no price that can be used is left for %s%s", measure.Quote(l.Key), f.why(n.item.Key)))
		}
		p.Lines = append(p.Lines, Line{Offer: offers[i], Computed: l.Computed.Or(-1), key: keys[i]})
	}
	switch {
	case !p.ByPlan:
		p.Lines[0].Computed = measure.Packs(p.ToBuy, p.Lines[0].Offer.Amount)
	case lines[0].For != f.boughtFingerprint(p):
		return f.again(p, at, "what it was planned for has changed since")
	case slices.ContainsFunc(p.Lines, func(l Line) bool { return l.Computed < 0 }):
		return f.again(p, at, "a count of its plan cannot be read")
	}
	if p.State = lines[0].State; p.State != "" {
		f.notAll(at, p)
	}
	f.counted(&p)
	for i, l := range lines {
		if l.Extension.Set && l.Extension.V != p.Lines[i].Extension {
			f.say(l.Place, estimate.Note,
				fmt.Sprintf("the file says %s; %d at %s come to %s, which is used", l.Extension.V, p.Lines[i].Count(), p.Lines[i].Offer.Price, p.Lines[i].Extension),
				"")
		}
	}
	return p
}

// notAll says that the plan of an item leaves something out.
func (f *follower) notAll(at estimate.Place, p Purchase) {
	f.say(at, estimate.Error,
		fmt.Sprintf("%s: not all that is needed is in the plan: %s", p.Item.Key, p.State),
		"see its lines on Checks of the estimate, and find what is missing elsewhere")
}

// unbought is an item of which the estimate buys nothing: nobody sells it, or it
// is on hand.
func (f *follower) unbought(p Purchase, n need, l Planned) Purchase {
	switch offers := f.usable.offers[n.item.Key]; {
	case l.State == "" && l.For == p.Fingerprint:
		return p // on hand
	case len(offers) == 0:
		p.State = f.noOffer(n)
	case l.For == p.Fingerprint && slices.Contains([]string{TooLong, TooWide, TooMany}, l.State):
		p.State = l.State
		f.notAll(l.Place, p)
	case !slices.ContainsFunc(offers, func(o Offer) bool {
		s := f.supplier(o.Supplier)
		return s < 0 || !f.suppliers[s].bans(n.item.Key)
	}):
		p.State = NotHere
		f.say(l.Place, estimate.Error,
			fmt.Sprintf("%s is left out: it is offered only where it is not to be bought", n.item.Key),
			"allow it on Suppliers, or find another supplier")
	default:
		return f.again(p, l.Place, "a price of it has come since, or its need has changed")
	}
	return p
}

// why says what bars prices of an item, after a comma.
func (f *follower) why(item string) string {
	switch {
	case f.usable.cold[item]:
		return fmt.Sprintf(", it is too cold for some at %d F", f.usable.coldest[item].V)
	case f.usable.refused[item]:
		return ", some have expired or are refused"
	case f.usable.late[item]:
		return ", some come too late"
	}
	return ""
}

// unpriced leaves an item out because its supplier has no price for it any more.
func (f *follower) unpriced(p Purchase, at estimate.Place) Purchase {
	p.State, p.Lines = NoPrice, nil
	f.say(at, estimate.Error, fmt.Sprintf("%s is left out: it has no price at %s that can be used%s", p.Item.Key, p.Supplier, f.why(p.Item.Key)),
		"type its price on Prices, or run estimate again if another supplier has it")
	return p
}

// again leaves an item out because its plan no longer serves.
func (f *follower) again(p Purchase, at estimate.Place, why string) Purchase {
	p.State, p.Lines = RunAgain, nil
	f.say(at, estimate.Error, fmt.Sprintf("%s is left out: %s", p.Item.Key, why), "run estimate again")
	return p
}
