package workbook

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

func settingColumns() []xlsx.Column[estimate.Setting] {
	type row = estimate.Setting
	return []xlsx.Column[row]{
		{Head: "Key", Width: 27, Frozen: true, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.Text, s.Key) }},
		{Head: "Value", Width: 22, Cell: settingCell},
		{Head: "Unit", Width: 14, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.Text, unitWords(s.Unit)) }},
		{Head: "Default", Width: 16, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextRight, s.Default) }},
		{Head: "Meaning", Width: 50, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.Meaning) }},
		{Head: "Basis", Width: 18, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.Basis) }},
		{Head: "Source", Width: 44, Cell: func(s row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.Source) }},
	}
}

// jobSheet writes the settings, a line a key. Rates are numbers, so that the
// bid follows them.
func (w *writer) jobSheet(p *xlsx.Sheet) {
	w.lead(p, "Job", "Your own values; a blank Value takes the default beside it. Change a rate of the bid and the price follows; "+
		"for anything else run estimate again. "+w.bareWords())
	w.settings = xlsx.NewTable(p, "JobSettings", settingColumns())
	w.settings.Header()
	for _, s := range w.in.Settings {
		w.settings.Keyed(s.Key, s)
		if words := s.Words(); len(words) > 0 {
			w.settings.At(s.Key, "Value").Choice(words, "Job", s.Key+": "+strings.Join(words, ", "))
		}
	}
	w.settings.Finish()
}

// setting refers to the value of a setting.
func (w *writer) setting(key string) string { return w.settings.At(key, "Value").String() }

func unitWords(u string) string {
	switch {
	case strings.Contains(u, "|"):
		return "choose"
	case u == "percent":
		return "%"
	}
	return u
}

// settingCell writes what the crew wrote. A rate that feeds a formula always
// stands in its cell, the default too.
func settingCell(s estimate.Setting) xlsx.Cell {
	if s.Unit == estimate.UnitPercent {
		if r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s.Value(), "%")) + " %"); err == nil {
			return xlsx.Num(r, xlsx.InputPercent)
		}
	}
	if s.Unit == estimate.UnitDate {
		if d, err := measure.ParseDate(s.Text); err == nil {
			return xlsx.Num(d, xlsx.InputDate)
		}
	}
	if m, err := measure.ParseMoney(s.Text); err == nil && s.Unit == estimate.UnitMoney {
		return xlsx.Num(m, xlsx.InputMoney)
	}
	if n, err := measure.ParseCount(s.Text); err == nil && (s.Unit == "count" || s.Unit == "days" || s.Unit == "F") {
		return xlsx.Num(n, xlsx.InputCount)
	}
	if s.Unit == estimate.UnitText {
		return xlsx.Str(xlsx.InputTextWrap, s.Text)
	}
	if s.Text == "" && slices.Contains([]string{"tax units", "tax delivery", "tax basis", "profit is"}, s.Key) {
		return xlsx.Str(xlsx.InputText, s.Default)
	}
	return xlsx.Str(xlsx.InputText, s.Text)
}
