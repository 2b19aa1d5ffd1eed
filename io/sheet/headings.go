package sheet

// What people call columns, for all who read schedules: a heading is the same
// column to estimate and to import.

// Headings are other headings of our columns, by column.
var Headings = map[string][]string{
	"Qty": {"Count", "Quantity", "Quant", "Qnty", "Qnt", "Qtty", "Cnt", "Pcs", "Pieces", "Ea", "Each", "Nos", "Number", "Number of", "# of", "No of",
		"Number of openings",
		"No of openings", "Openings", "Req", "Req'd", "Reqd", "Required", "Qty req'd", "Qty reqd", "Qty required", "No req", "No req'd", "No reqd", "No required",
		"# req", "# req'd", "# reqd", "# required", "Number required", "Number req'd", "Total qty", "Total quantity", "Amt", "How many", "Number off", "No off"},
	"Operation":    {"Operating type", "Operation type", "Unit operation", "Window operation", "Oper", "Opng type"},
	"Sits on":      {"Stands on", "Bears on", "Substrate"},
	"Flange":       {"Mounting flange", "Flange type", "Nail fin", "Nailing fin", "Nailing flange", "Fin", "Fin type"},
	"Furnished by": {"Supplied by", "Provided by", "Unit by", "Unit furnished by", "Furn by", "Furnish by", "Furnished", "By", "Units by", "Supply by"},
	"Unit cost":    {"Cost of unit", "Cost each", "Unit price", "Price each", "Cost ea", "Price ea", "Cost per unit", "Price per unit", "Unit $"},
	"Jamb depth":   {"Unit depth", "Frame depth", "Depth of unit", "Jamb size", "Jamb width"},
	"Sill pan":     {"Pan", "Pan type", "Sill pan type"},
	"Trim":         {"Trim layout", "Casing", "Exterior trim", "Ext trim", "Outside trim"},
	"Story":        {"Storey", "Level", "Floor", "Stories", "Floor level", "Flr", "Lvl"},
	"Sill height":  {"Height of sill", "Sill height above floor", "Sill ht", "Sill hgt", "Sill ht AFF", "Sill hgt AFF", "Sill height AFF", "Sill AFF"},
	"Status":       {},
	"Notes":        {"Note", "Comments", "Comment", "Remarks", "Remark"},
}

// DoubtfulCount is headings that may say how many openings a row stands for, or
// something else: where nothing else does, they are asked back.
var DoubtfulCount = Doubt{May: "how many openings a row stands for, and no column Qty does",
	Do: "rename it Qty where it does; else add a column Qty, and rename this: Mulled units where it counts joined units, Item where it counts lines"}

// DoubtfulCounts are the headings of DoubtfulCount.
var DoubtfulCounts = []string{"Units", "Number of units", "No of units", "# units", "No", "#", "Amount", "Total", "Totals", "Sets", "Lot"}
