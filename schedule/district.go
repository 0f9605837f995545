package schedule

import "strings"

// districtBook begins the name under which the water tests of a district are kept. No
// place is called so.
const districtBook = "~water/"

// DistrictBook returns where the water tests of a district are kept: under a name in the
// place of a place's, once for all places on it.
func DistrictBook(district string) string { return districtBook + district }

// IsDistrictBook reports whether a record belongs to a district and to no place.
func IsDistrictBook(place string) bool { return strings.HasPrefix(place, districtBook) }
