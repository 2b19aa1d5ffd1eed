package estimate

// Element returns the code under which costs of an opening's kind are gathered
// by building element: B2020 exterior windows, B2030 exterior doors.
//
// Source: National Institute of Standards and Technology, NISTIR 6389, UNIFORMAT II, level 3 (ASTM International, E1557-97)
func Element(k Kind) string {
	if k == Window {
		return "B2020"
	}
	return "B2030"
}
