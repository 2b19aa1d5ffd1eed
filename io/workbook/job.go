package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"slices"
	"strings"
)

// jobSheet writes the settings, a line a key. Rates are numbers, so that the
// bid follows them.
func (w *writer) jobSheet() {
	p := w.job
	w.lead(p, "Job", "The crew's own values; where Value is blank the default holds. Change a rate of the bid and the price follows; for anything else run estimate again. "+w.bareWords())
	p.Row(xlsx.Strs(xlsx.Heading, "Key", "Value", "Unit", "Default", "Meaning", "Source")...)
	for _, s := range w.in.Settings {
		row := p.Row(xlsx.Str(xlsx.Text, s.Key), settingCell(s), xlsx.Str(xlsx.Text, unitWords(s.Unit)), xlsx.Str(xlsx.TextRight, s.Default), xlsx.Str(xlsx.TextWrap, s.Meaning), xlsx.Str(xlsx.TextWrap, s.Source))
		w.setting[s.Key] = p.Ref(row, 2)
		if words := strings.Split(s.Unit, "|"); len(words) > 1 {
			p.Choice(formula.Cell(row, 2), words, "Job", s.Key+": "+strings.Join(words, ", "))
		}
	}
	p.Widths(27, 22, 14, 16, 50, 44)
	p.Finish("JobSettings", inputHeader, 6, 1)
}

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
	if s.Unit == "percent" {
		if r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(s.Value(), "%")) + " %"); err == nil {
			return xlsx.Num(r, xlsx.InputPercent)
		}
	}
	if s.Unit == "date" {
		if d, err := measure.ParseDate(s.Text); err == nil {
			return xlsx.Num(d, xlsx.InputDate)
		}
	}
	if m, err := measure.ParseMoney(s.Text); err == nil && s.Unit == "money" {
		return xlsx.Num(m, xlsx.InputMoney)
	}
	if n, err := measure.ParseCount(s.Text); err == nil && (s.Unit == "count" || s.Unit == "days" || s.Unit == "F") {
		return xlsx.Num(n, xlsx.InputCount)
	}
	if s.Unit == "text" {
		return xlsx.Str(xlsx.InputTextWrap, s.Text)
	}
	if s.Text == "" && slices.Contains([]string{"tax units", "tax delivery", "tax basis", "profit is"}, s.Key) {
		return xlsx.Str(xlsx.InputText, s.Default)
	}
	return xlsx.Str(xlsx.InputText, s.Text)
}
