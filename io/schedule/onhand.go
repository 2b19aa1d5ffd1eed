package schedule

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// onHandFields is the sheet On hand.
func onHandFields(items estimate.Items) []field[estimate.OnHand] {
	return []field[estimate.OnHand]{
		{key: "Item", required: true, filled: "write a key of the Items sheet", set: put(anItem(items), func(h *estimate.OnHand) *string { return &h.Item })},
		{key: "Length", required: true, filled: "write how long each is", set: put(length, func(h *estimate.OnHand) *measure.Length { return &h.Length })},
		{key: "Count", number: true, synonyms: []string{"Qty", "Quantity", "Pieces"}, required: true, filled: "write how many there are",
			set: put(count(0, 1_000_000), func(h *estimate.OnHand) *int64 { return &h.Count })},
		{key: "Notes", set: put(remark, func(h *estimate.OnHand) *string { return &h.Notes })},
	}
}

// onHand reads what the crew has already. A line with a mistake is left out.
func (r *reader) onHand(s *sheet.Sheet) {
	if s == nil {
		return
	}
	job := &r.out.Book.Job
	t, problems := open(s, onHandFields(r.out.Book.Items), job.Bare())
	r.problems = append(r.problems, t.withoutNotes(problems)...)
	for _, row := range t.Rows {
		h := estimate.OnHand{Place: row.Place}
		problems := t.read(row, &h)
		item, known := r.out.Book.Items.Get(h.Item)
		switch {
		case h.Item == "" || !known:
		case !item.Cut:
			problems = append(problems,
				row.Cell("Item").Problem(estimate.Error, fmt.Sprintf("%s is bought in packs: only what is cut to length is taken from what is on hand", h.Item),
					"delete the line, or type fewer packs under Override on Materials"))
		}
		r.problems = append(r.problems, problems...)
		if estimate.Errors(problems) == 0 && h.Count > 0 && h.Length > 0 {
			job.OnHand = append(job.OnHand, h)
		}
	}
}
