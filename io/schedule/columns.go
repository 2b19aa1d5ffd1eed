package schedule

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// The kinds of cell that many columns share.
var (
	length = (*cell).length
	side   = (*cell).side
	text   = (*cell).text
	remark = (*cell).remark
)

// openingFields is the sheet Openings. A bare Width or Height is no synonym of
// anything: it has no basis.
func openingFields(trims vocabulary) []field[estimate.Opening] {
	type opening = estimate.Opening
	num := func(f field[opening]) field[opening] { f.number = true; return f }
	return []field[opening]{
		{key: "Mark", synonyms: []string{"ID", "Opening", "Tag", "Opening mark", "Opening ID", "Mark no", "Mark number", "Window mark", "Door mark",
			"Door name"}, required: true, filled: "give the opening its mark", set: put(text, func(o *opening) *string { return &o.Mark })},
		num(field[opening]{key: "Qty", synonyms: []string{"Count", "Quantity", "Number", "Pcs", "Pieces", "Number of openings"},
			set: put(count(1, 9999), func(o *opening) *int64 { return &o.Qty })}),
		{key: "Kind", synonyms: []string{"Opening kind", "Kind of opening"}, required: true, filled: "write " + oneOf(estimate.Kinds),
			set: put(word[estimate.Kind](kinds), func(o *opening) *estimate.Kind { return &o.Kind })},
		num(field[opening]{key: "Frame width", synonyms: []string{"Frame W", "Outside frame width", "Overall frame width", "Unit frame width",
			"Frame size width"}, set: put(side, func(o *opening) *measure.Length { return &o.Frame.W })}),
		num(field[opening]{key: "Frame height", synonyms: []string{"Frame H", "Outside frame height", "Overall frame height", "Unit frame height",
			"Frame size height"}, set: put(side, func(o *opening) *measure.Length { return &o.Frame.H })}),
		num(field[opening]{key: "RO width", synonyms: []string{"Rough opening width", "Rough opening W", "RO W", "Rough width", "Framed opening width",
			"Structural opening width", "Stud opening width"}, set: put(side, func(o *opening) *measure.Length { return &o.Rough.W })}),
		num(field[opening]{key: "RO height", synonyms: []string{"Rough opening height", "Rough opening H", "RO H", "Rough height", "Framed opening height",
			"Structural opening height", "Stud opening height"}, set: put(side, func(o *opening) *measure.Length { return &o.Rough.H })}),
		num(field[opening]{key: "Units", synonyms: []string{"Joined units", "Units joined", "Units wide", "Number of units"},
			set: put(count(1, 12), func(o *opening) *int64 { return &o.Units })}),
		{key: "Sits on", synonyms: []string{"Stands on", "Bears on"},
			set: put(word[estimate.SitsOn](sitsOn), func(o *opening) *estimate.SitsOn { return &o.SitsOn })},
		{key: "Flange", synonyms: []string{"Mounting flange", "Flange type"},
			set: put(word[estimate.Flange](flanges), func(o *opening) *estimate.Flange { return &o.Flange })},
		{key: "Supplied by", synonyms: []string{"Furnished by", "Provided by"},
			set: put(word[estimate.SuppliedBy](suppliers), func(o *opening) *estimate.SuppliedBy { return &o.SuppliedBy })},
		num(field[opening]{key: "Unit cost", synonyms: []string{"Cost of unit", "Cost each", "Unit price", "Price each"},
			set: give((*cell).money, func(o *opening) *estimate.Maybe[measure.Money] { return &o.UnitCost })}),
		num(field[opening]{key: "Measured width", synonyms: []string{"Measured W", "Field width", "Field measured width"},
			set: put(side, func(o *opening) *measure.Length { return &o.Measured.W })}),
		num(field[opening]{key: "Measured height", synonyms: []string{"Measured H", "Field height", "Field measured height"},
			set: put(side, func(o *opening) *measure.Length { return &o.Measured.H })}),
		{key: "Status", set: put(word[estimate.Status](statuses), func(o *opening) *estimate.Status { return &o.Status })},
		{key: "Notes", synonyms: []string{"Note", "Comments", "Comment", "Remarks", "Remark"}, set: put(remark, func(o *opening) *string { return &o.Notes })},
		{key: "Call size", synonyms: []string{"Callout size", "Call-out size", "Callout", "Call-out"}, set: put(text, func(o *opening) *string { return &o.Call })},
		num(field[opening]{key: "Unit widths", synonyms: []string{"Widths of units", "Joined unit widths"},
			set: put((*cell).sides, func(o *opening) *[]measure.Length { return &o.UnitWidths })}),
		num(field[opening]{key: "Unit depth", synonyms: []string{"Frame depth", "Jamb depth", "Depth of unit"},
			set: give(side, func(o *opening) *estimate.Maybe[measure.Length] { return &o.UnitDepth })}),
		num(field[opening]{key: "Leg drop", set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.LegDrop })}),
		{key: "Sill pan", synonyms: []string{"Pan", "Pan type"}, set: put(word[estimate.Pan](pans), func(o *opening) *estimate.Pan { return &o.Pan })},
		{key: "Detail", synonyms: []string{"Detail name"}, set: put(text, func(o *opening) *string { return &o.Detail })},
		{key: "Trim", synonyms: []string{"Trim layout"}, set: put(word[string](trims), func(o *opening) *string { return &o.Trim })},
		num(field[opening]{key: "Storey", synonyms: []string{"Story"}, set: give(count(0, 200), func(o *opening) *estimate.Maybe[int64] { return &o.Storey })}),
		num(field[opening]{key: "Sill height", synonyms: []string{"Height of sill", "Sill height above floor"},
			set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.SillHeight })}),
		num(field[opening]{key: "Drop outside", synonyms: []string{"Outside drop"},
			set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.Drop })}),
		num(field[opening]{key: "Wall depth", synonyms: []string{"Wall thickness"},
			set: give(side, func(o *opening) *estimate.Maybe[measure.Length] { return &o.WallDepth })}),
		{key: "Elevation", synonyms: []string{"Facade", "Side of house", "Orientation"}, set: put(text, func(o *opening) *string { return &o.Elevation })},
		num(field[opening]{key: "Unit heights", synonyms: []string{"Heights of units", "Stacked unit heights"},
			set: put((*cell).sides, func(o *opening) *[]measure.Length { return &o.UnitHeights })}),
	}
}

// unclear are the headers of sizes whose basis they do not say.
var unclear = []struct {
	sheet.Column
	upright  bool // a height, else a width
	what, do string
}{
	{sheet.Column{Key: "Width", Synonyms: []string{"W"}}, false, "width of what?", "write Frame width or RO width"},
	{sheet.Column{Key: "Height", Synonyms: []string{"H"}}, true, "height of what?", "write Frame height or RO height"},
	{sheet.Column{Key: "Size",
		Synonyms: []string{"W x H", "Width x height", "Dimensions", "Opening size", "Opening WxH", "Window size", "Door size", "Nominal size", "Unit size"}}, false,
		"size of what?", "write Call size, or Frame width and Frame height, or RO width and RO height"},
	{sheet.Column{Key: "Opening width", Synonyms: []string{"Opening W"}}, false, "the framed opening or the finished one?", "write RO width or Frame width"},
	{sheet.Column{Key: "Opening height", Synonyms: []string{"Opening H"}}, true, "the framed opening or the finished one?", "write RO height or Frame height"},
	{sheet.Column{Key: "Unit width", Synonyms: []string{"Window width"}}, false, "of the whole frame or of each joined unit?", "write Frame width or Unit widths"},
	{sheet.Column{Key: "Unit height", Synonyms: []string{"Window height"}}, true, "of the frame or of the glass?", "write Frame height"},
	{sheet.Column{Key: "Leaf width", Synonyms: []string{"Door leaf width", "Slab width", "Door width", "Nominal width", "Overall width"}}, false,
		"a leaf or a nominal size is not the outside of the frame", "write Frame width, RO width, or the size as a Call size"},
	{sheet.Column{Key: "Leaf height", Synonyms: []string{"Door leaf height", "Slab height", "Door height", "Nominal height", "Overall height"}}, true,
		"a leaf or a nominal size is not the outside of the frame", "write Frame height, RO height, or the size as a Call size"},
}

// measured is a line of the sheet Measured on its way to its opening.
type measured struct {
	estimate.Reading
	mark string
	rise estimate.Maybe[measure.Length]
}

// measuredFields is the sheet Measured and the form Measuring.
func measuredFields() []field[measured] {
	out := []field[measured]{
		{key: "Mark", required: true, filled: "write the mark that was measured", set: put(text, func(m *measured) *string { return &m.mark })},
		{key: "Piece", number: true, synonyms: []string{"Piece no", "No"}, set: put(count(1, 9999), func(m *measured) *int64 { return &m.Piece })},
	}
	reading := func(key string, at func(m *measured) *measure.Length, synonyms ...string) {
		out = append(out, field[measured]{key: key, number: true, synonyms: synonyms, set: put(side, at)})
	}
	reading("Width 1", func(m *measured) *measure.Length { return &m.Widths[0] }, "Width top")
	reading("Width 2", func(m *measured) *measure.Length { return &m.Widths[1] }, "Width middle")
	reading("Width 3", func(m *measured) *measure.Length { return &m.Widths[2] }, "Width bottom")
	reading("Height 1", func(m *measured) *measure.Length { return &m.Heights[0] }, "Height left")
	reading("Height 2", func(m *measured) *measure.Length { return &m.Heights[1] }, "Height middle")
	reading("Height 3", func(m *measured) *measure.Length { return &m.Heights[2] }, "Height right")
	reading("Diagonal 1", func(m *measured) *measure.Length { return &m.Diagonals[0] })
	reading("Diagonal 2", func(m *measured) *measure.Length { return &m.Diagonals[1] })
	return append(out,
		field[measured]{key: "High end", set: put(word[estimate.HighEnd](highEnds), func(m *measured) *estimate.HighEnd { return &m.HighEnd })},
		field[measured]{key: "Rise", number: true, set: give(length, func(m *measured) *estimate.Maybe[measure.Length] { return &m.rise })},
		field[measured]{key: "Initials", synonyms: []string{"Measured by"}, set: put(remark, func(m *measured) *string { return &m.Initials })},
		field[measured]{key: "Of", synonyms: []string{"Read at", "Measured at"},
			set: put(word[estimate.ReadAt](readAt), func(m *measured) *estimate.ReadAt { return &m.Of })},
	)
}

// costFields is the sheet Cost lines.
var costFields = []field[estimate.CostLine]{
	{key: "Text", synonyms: []string{"Description", "Item"}, required: true, filled: "say what the cost is for",
		set: put(text, func(l *estimate.CostLine) *string { return &l.Text })},
	{key: "Count", number: true, synonyms: []string{"Qty", "Quantity"},
		set: give(count(0, 1_000_000), func(l *estimate.CostLine) *estimate.Maybe[int64] { return &l.Count })},
	{key: "Unit", set: put(text, func(l *estimate.CostLine) *string { return &l.Unit })},
	{key: "Price", number: true, synonyms: []string{"Unit price", "Price each"},
		set: give((*cell).price, func(l *estimate.CostLine) *estimate.Maybe[measure.UnitPrice] { return &l.Price })},
	{key: "Taxable", synonyms: []string{"Tax"}, set: put(choice("yes", "no"), func(l *estimate.CostLine) *bool { return &l.Taxable })},
}

// itemFields is the sheet Items.
func itemFields() []field[estimate.Item] {
	type item = estimate.Item
	size := func(key string, at func(*item) *measure.Length) field[item] {
		return field[item]{key: key, set: put(length, at)}
	}
	return []field[item]{
		{key: "key", required: true, filled: "give the item a key", set: put(text, func(i *item) *string { return &i.Key })},
		{key: "name", required: true, filled: "write what people call it", set: put(text, func(i *item) *string { return &i.Name })},
		{key: "family", set: put(text, func(i *item) *string { return &i.Family })},
		{key: "class", required: true, filled: "write " + oneOf(estimate.Classes),
			set: put(word[string](vocabulary{words: estimate.Classes}), func(i *item) *string { return &i.Class })},
		{key: "buy", required: true, filled: "write cut or pack", set: put(choice("cut", "pack"), func(i *item) *bool { return &i.Cut })},
		{key: "need", required: true, filled: "write " + oneOf(estimate.DimensionWords),
			set: put(indexed[estimate.Dimension](estimate.DimensionWords), func(i *item) *estimate.Dimension { return &i.Dim })},
		size("width", func(i *item) *measure.Length { return &i.Width }),
		size("thickness", func(i *item) *measure.Length { return &i.Thickness }),
		size("length", func(i *item) *measure.Length { return &i.Length }),
		size("fits from", func(i *item) *measure.Length { return &i.FitsFrom }),
		size("fits to", func(i *item) *measure.Length { return &i.FitsTo }),
		size("end", func(i *item) *measure.Length { return &i.End }),
		size("lap", func(i *item) *measure.Length { return &i.Lap }),
		{key: "gap", set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Gap })},
		{key: "coverage", set: put(count(1, 1_000_000), func(i *item) *int64 { return &i.Coverage })},
		{key: "coverage unit", set: put(text, func(i *item) *string { return &i.CoverageUnit })},
		{key: "kerf", set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Kerf })},
		{key: "squaring", set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Squaring })},
		{key: "joint", set: put(indexed[estimate.Joint](estimate.JointWords), func(i *item) *estimate.Joint { return &i.Joint })},
		size("coil width", func(i *item) *measure.Length { return &i.Coil }),
		{key: "forms", set: put(choice("yes", "no"), func(i *item) *bool { return &i.Forms })},
		{key: "allowance", set: put(word[string](vocabulary{words: allowances()}), func(i *item) *string { return &i.Allowance })},
		{key: "min temp f", synonyms: []string{"min temp", "lowest temperature"},
			set: give((*cell).whole, func(i *item) *estimate.Maybe[int64] { return &i.MinTempF })},
		{key: "where", set: put(choice("site", "shop"), func(i *item) *bool { return &i.Site })},
		{key: "cost code", synonyms: []string{"account", "cost account", "job cost code"}, set: put(text, func(i *item) *string { return &i.CostCode })},
		{key: "notes", set: put(remark, func(i *item) *string { return &i.Notes })},
		{key: "source", set: put(remark, func(i *item) *string { return &i.Source })},
	}
}

// layoutFields is the shipped table of trim layouts.
func layoutFields() []field[estimate.LayoutPiece] {
	type piece = estimate.LayoutPiece
	times := func(key string, at func(*piece) *int64) field[piece] {
		return field[piece]{key: key, required: true, filled: "write a whole number", set: put((*cell).whole, at)}
	}
	words := func(key string, set func(*cell, *piece)) field[piece] {
		return field[piece]{key: key, required: true, filled: "fill it in", set: set}
	}
	return []field[piece]{
		words("layout", put(text, func(p *piece) *string { return &p.Layout })),
		words("piece", put(word[estimate.PieceName](vocabulary{words: estimate.PieceNames}), func(p *piece) *estimate.PieceName { return &p.Piece })),
		words("board", put(word[estimate.Board](vocabulary{words: estimate.BoardNames}), func(p *piece) *estimate.Board { return &p.Board })),
		times("count", func(p *piece) *int64 { return &p.Count }),
		times("w", func(p *piece) *int64 { return &p.W }),
		times("h", func(p *piece) *int64 { return &p.H }),
		times("gap", func(p *piece) *int64 { return &p.Gap }),
		times("head", func(p *piece) *int64 { return &p.Head }),
		times("leg", func(p *piece) *int64 { return &p.Leg }),
		times("bottom", func(p *piece) *int64 { return &p.Bottom }),
		times("overhang", func(p *piece) *int64 { return &p.Over }),
		times("horn", func(p *piece) *int64 { return &p.Horn }),
		times("drop", func(p *piece) *int64 { return &p.Drop }),
		times("bored ends", func(p *piece) *int64 { return &p.Bored }),
		times("mitred ends", func(p *piece) *int64 { return &p.Mitred }),
		{key: "equal boards", required: true, filled: "write yes or no", set: put(choice("yes", "no"), func(p *piece) *bool { return &p.Equal })},
		{key: "pair", required: true, filled: "write yes or no", set: put(choice("yes", "no"), func(p *piece) *bool { return &p.Pair })},
		words("ends", put(text, func(p *piece) *string { return &p.Ends })),
	}
}
