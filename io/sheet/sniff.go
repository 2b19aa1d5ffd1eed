package sheet

import (
	"bytes"
	"unicode"
	"unicode/utf8"
)

// content is what the bytes of a file are, whatever its name says.
type content int

const (
	plainText content = iota
	workbook
)

// A signature tells a kind of file that is not read by its first bytes.
type signature struct {
	start    string
	what, do string
}

const saveAsWorkbook = "open it in your spreadsheet program and save it as an .xlsx workbook"

var signatures = []signature{
	{"%PDF", "this is a PDF, not a workbook", "type its table into a workbook, or export it as CSV"},
	{"{\\rtf", "this is a word processor's text, not a workbook", "copy its table into a workbook"},
	{"\x89PNG", "this is a picture, not a workbook", "type its table into a workbook"},
	{"\xFF\xD8\xFF", "this is a picture, not a workbook", "type its table into a workbook"},
	{"GIF8", "this is a picture, not a workbook", "type its table into a workbook"},
	{"\x1F\x8B", "this is a compressed file, not a workbook", "unpack it first"},
	{"7z\xBC\xAF", "this is a compressed file, not a workbook", "unpack it first"},
	{"Rar!", "this is a compressed file, not a workbook", "unpack it first"},
	{"PK\x05\x06", "this is an empty zip archive, not a workbook", "check that the right file was named"},
}

// markup tells text that holds a table in another language.
var markup = []signature{
	{"<!doctype html", "this is a web page, not a workbook, whatever its name", saveAsWorkbook},
	{"<html", "this is a web page, not a workbook, whatever its name", saveAsWorkbook},
	{"<table", "this is a web page, not a workbook, whatever its name", saveAsWorkbook},
	{"<meta", "this is a web page, not a workbook, whatever its name", saveAsWorkbook},
	{"<?xml", "this is an XML file, not a workbook", saveAsWorkbook},
}

const (
	zipStart      = "PK\x03\x04"
	compoundStart = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"
)

// recognize says whether the bytes are a workbook or text, and refuses
// everything else by its name.
func recognize(data []byte) (content, error) {
	switch {
	case len(data) == 0:
		return 0, refuse("the file is empty", "check that it was saved or copied whole")
	case len(data) > MaxFile && !bytes.HasPrefix(data, []byte(zipStart)):
		return 0, refuse("the file is larger than 50 MB", "take out pictures and sheets that are not needed")
	case len(data) > MaxWorkbook:
		return 0, refuse("the workbook is larger than 512 MB", "take out pictures and sheets that are not needed")
	case bytes.HasPrefix(data, []byte(zipStart)):
		return workbook, nil
	case bytes.HasPrefix(data, []byte(compoundStart)):
		return 0, recognizeCompound(data)
	}
	for _, s := range signatures {
		if bytes.HasPrefix(data, []byte(s.start)) {
			return 0, refuse(s.what, s.do)
		}
	}
	head := bytes.TrimPrefix(data[:min(len(data), 512)], []byte("\xEF\xBB\xBF"))
	head = bytes.ToLower(bytes.TrimSpace(head))
	for _, s := range markup {
		if bytes.HasPrefix(head, []byte(s.start)) {
			return 0, refuse(s.what, s.do)
		}
	}
	if looksBinary(data) {
		return 0, refuse("this is neither a workbook nor a CSV file", "check that the right file was named")
	}
	return plainText, nil
}

// recognizeCompound names what an old compound file holds by the entries of
// its directory, which are written in UTF-16.
func recognizeCompound(data []byte) error {
	for _, s := range []signature{
		{"EncryptedPackage", "the workbook is locked with a password", "open it, take the password off and save it"},
		{"Workbook", "this is a workbook of the old .xls kind, whatever its name", saveAsWorkbook},
		{"Book", "this is a workbook of the old .xls kind, whatever its name", saveAsWorkbook},
		{"WordDocument", "this is a word processor's text, not a workbook", "copy its table into a workbook"},
	} {
		if bytes.Contains(data, utf16LE(s.start)) {
			return refuse(s.what, s.do)
		}
	}
	return refuse("this is a file of an old office program that holds no workbook", saveAsWorkbook)
}

func utf16LE(ascii string) []byte {
	out := make([]byte, 0, 2*len(ascii))
	for i := range len(ascii) {
		out = append(out, ascii[i], 0)
	}
	return out
}

// looksBinary reports whether more than a tenth of the first characters are no
// text. A few are refused at their cell instead.
func looksBinary(data []byte) bool {
	if isUTF16(data) {
		return false
	}
	head := data[:min(len(data), 4096)]
	total, bad := 0, 0
	for len(head) > 0 {
		r, size := utf8.DecodeRune(head)
		if r == 0 || r != '\t' && r != '\n' && r != '\r' && unicode.IsControl(r) {
			bad++
		}
		total++
		head = head[size:]
	}
	return bad*10 > total
}

func isUTF16(data []byte) bool {
	return bytes.HasPrefix(data, []byte("\xFF\xFE")) || bytes.HasPrefix(data, []byte("\xFE\xFF"))
}
