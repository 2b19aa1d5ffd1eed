package main

import (
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// scheduleInput returns what a schedule workbook is written from; how says how
// to fill it in, or where it is from.
func scheduleInput(s *schedule.Schedule, how string) workbook.ScheduleInput {
	var details []string
	for _, d := range s.Book.Details {
		details = append(details, d.Name)
	}
	return workbook.ScheduleInput{
		How: how, Book: s.Book, Settings: s.Settings, Details: details,
		Openings: table(s.Openings), Measured: table(s.Measured), Alternates: table(s.Alternates), Terms: termsOf(s), Example: schedule.Example,
	}
}

// termsOf returns the terms of the sheet Suppliers.
func termsOf(s *schedule.Schedule) []pricing.Terms {
	if s.Suppliers == nil {
		return nil
	}
	terms, _ := pricelist.ReadTerms(s.Suppliers, s.Book.Items)
	return terms
}

// table hands a table as it was read to the workbook.
func table(r schedule.Raw) workbook.Table {
	t := workbook.Table{Columns: r.Columns, Headers: r.Headers}
	for _, row := range r.Rows {
		t.Rows = append(t.Rows, row.Cells)
		t.Opening = append(t.Opening, row.Index)
	}
	return t
}
