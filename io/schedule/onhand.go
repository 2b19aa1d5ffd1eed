package schedule

import (
	"cmp"
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// onHandFields is the sheet On hand.
func onHandFields(items estimate.Items, date1904 bool) []field[estimate.OnHand] {
	return []field[estimate.OnHand]{
		{key: "Item", required: true, filled: "write a key of the Items sheet", set: put(anItem(items), func(h *estimate.OnHand) *string { return &h.Item })},
		{key: "Length", required: true, set: put(length, func(h *estimate.OnHand) *measure.Length { return &h.Length })},
		{key: "Count", number: true, synonyms: []string{"Qty", "Quantity", "Pieces"}, required: true,
			set: put(count(0, 1_000_000), func(h *estimate.OnHand) *int64 { return &h.Count })},
		{key: "Notes", set: put(remark, func(h *estimate.OnHand) *string { return &h.Notes })},
		{key: "Content", synonyms: []string{"Pack", "Pack size"}, set: put(text, func(h *estimate.OnHand) *string { return &h.Content })},
		{key: "Counted", synonyms: []string{"Counted on", "Date counted"},
			set: give(day(date1904), func(h *estimate.OnHand) *estimate.Maybe[measure.Date] { return &h.Counted })},
		{key: "Furnished by", synonyms: []string{"Supplied by", "Provided by", "Brought by"},
			set: put(word[estimate.FurnishedBy](sheet.BroughtBy), func(h *estimate.OnHand) *estimate.FurnishedBy { return &h.By })},
	}
}

// onHand reads what there is already. A line with a mistake is left out; of one by owner
// stays whose item it is, without how much.
func (r *reader) onHand(s *sheet.Sheet) {
	if s == nil {
		return
	}
	job := &r.out.Book.Job
	t, problems := open(s, onHandFields(r.out.Book.Items, r.out.date1904), job.Bare())
	r.problems = append(r.problems, t.withoutNotes(problems)...)
	for _, row := range t.Rows {
		h := estimate.OnHand{Place: row.Place, At: row.Cell("Count").Place}
		problems := t.read(row, &h)
		item, known := r.out.Book.Items.Get(h.Item)
		if blank := isBlank(row.Cell("Count")); blank && h.By == estimate.ByOwner {
			h.NotStated = true
		} else if blank {
			problems = append(problems, row.Cell("Count").Problem(estimate.Error, "Count is blank", "write how many there are"))
		}
		if known && !h.NotStated {
			problems = append(problems, holds(&h, item, row)...)
		}
		r.problems = append(r.problems, problems...)
		switch {
		case known && h.By == estimate.ByOwner:
			if estimate.Errors(problems) > 0 { // it is his all the same, and never bought
				h.Count, h.NotStated = 0, true
			}
			job.OnHand = append(job.OnHand, h)
		case estimate.Errors(problems) == 0 && h.Count > 0 && cmp.Or(int64(h.Length), h.Amount) > 0:
			job.OnHand = append(job.OnHand, h)
		}
	}
}

// holds reads what one of what is on hand holds: of an item that is cut its length, of
// others the content of the pack.
func holds(h *estimate.OnHand, item estimate.Item, row sheet.Row) []estimate.Problem {
	length, content := row.Cell("Length"), row.Cell("Content")
	switch {
	case item.Cut && isBlank(length):
		return []estimate.Problem{length.Problem(estimate.Error, "Length is blank", "write how long each is")}
	case item.Cut:
		return nil
	case !isBlank(length):
		return []estimate.Problem{length.Problem(estimate.Error, fmt.Sprintf("%s is bought in packs, and has no length", h.Item),
			"write what is left in one under Content, such as 10.1 fl oz, 2 lb or 140 each")}
	case isBlank(content):
		return []estimate.Problem{content.Problem(estimate.Error, "Content is blank", "write what is left in one, such as 10.1 fl oz, 2 lb or 140 each")}
	}
	amount, err := pricing.ParseContent(h.Content, item)
	if err != nil {
		var problems []estimate.Problem
		(&cell{Cell: content, name: "Content", problems: &problems}).form(err)
		return problems
	}
	h.Amount = amount
	return nil
}

// day returns a reading of a calendar day.
func day(date1904 bool) func(*cell) (measure.Date, bool) {
	return func(c *cell) (measure.Date, bool) {
		words, ok := c.dateText(date1904)
		if !ok {
			return 0, false
		}
		d, err := measure.ParseDate(words)
		return take(c, d, err)
	}
}
