package xlsx

import "sillwright/io/xlsx/formula"

// What is checked, said and shown at cells is asked of their reference.

// Choice lets the cells take only words of a list. The message is shown when a cell is
// chosen, and when another word is refused.
func (r Ref) Choice(list []string, title, message string) {
	r.sheet.choice(r.Local(), list, title, message)
}

// Suggest offers words of a list, and lets the cells take others: the message says which.
func (r Ref) Suggest(list []string, title, others string) {
	r.sheet.choice(r.Local(), list, title, formula.OrWrite+" "+others)
	v := r.sheet.validations[len(r.sheet.validations)-1]
	v.ShowErrorMessage = false
}

// Decimals lets the cells take only numbers from least to most.
func (r Ref) Decimals(least, most float64, title, message string) {
	r.sheet.decimalRange(r.Local(), least, most, title, message)
}

// Wholes lets the cells take only whole numbers from least to most.
func (r Ref) Wholes(least, most float64, title, message string) {
	r.sheet.wholeRange(r.Local(), least, most, title, message)
}

// Note attaches a note to the cell.
func (r Ref) Note(words string) { r.sheet.noteAt(r.Local(), words) }

// Highlight gives the cells the colors of a look while a formula holds. The formula is
// that of the first cell; a reference whose row is not fixed follows the rows.
func (r Ref) Highlight(formula string, l Look) { r.sheet.addHighlight(r.Local(), formula, l) }

// Put writes a cell at the reference, drawn over so many columns, and returns what it
// covers.
func (r Ref) Put(c Cell, columns int) Ref { return r.sheet.put(r, c, columns) }
