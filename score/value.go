package score

// values names the note values that a tempo is counted in.
var values = []struct {
	length Rat // in quarters
	name   string
}{
	{Int(6), "dotted whole"}, {Int(4), "whole"}, {Int(3), "dotted half"}, {Int(2), "half"},
	{R(3, 2), "dotted quarter"}, {Int(1), "quarter"}, {R(3, 4), "dotted eighth"}, {R(1, 2), "eighth"},
	{R(3, 8), "dotted sixteenth"}, {R(1, 4), "sixteenth"}, {R(1, 8), "thirty-second"},
}

// ValueName is the name of a note value: "dotted quarter" for 3/2. A length
// that is no single note value gives "".
func ValueName(length Rat) string {
	for _, v := range values {
		if v.length == length {
			return v.name
		}
	}
	return ""
}

// ValueLength is the length, in quarters, of a note value by its name.
func ValueLength(name string) (length Rat, ok bool) {
	for _, v := range values {
		if v.name == name {
			return v.length, true
		}
	}
	return Rat{}, false
}

// LengthName is a length as a player says it: "a quarter note", "5 quarter notes".
func LengthName(length Rat) string {
	switch name := ValueName(length); {
	case name == "eighth":
		return "an eighth note"
	case name != "":
		return "a " + name + " note"
	}
	return length.Pretty() + " quarter notes"
}
