package musicxml

import (
	"strings"
	"testing"
)

func TestTitleAndComposer(t *testing.T) {
	const credits = `<credit page="1"><credit-words font-size="24">Rain, </credit-words><credit-words>
			and After</credit-words></credit>
		<credit page="1"><credit-words font-size="30.5"> </credit-words></credit>
		<credit page="2"><credit-words font-size="40">Page Two</credit-words></credit>
		<credit><credit-words font-size="12" justify="right">Ada
			Brook</credit-words></credit>`
	tests := []struct{ head, title, composer string }{
		{"", "tune", ""},
		{"<movement-title> Slow\n Waltz </movement-title>", "Slow Waltz", ""},
		{"<work><work-title>Suite</work-title></work><movement-title>Slow Waltz</movement-title>", "Slow Waltz", ""},
		{"<work><work-title>Suite</work-title></work><movement-title/>", "Suite", ""},
		{`<identification><creator type="lyricist">Cy Dale</creator><creator type="composer"/><creator type="composer">Ada  Brook</creator></identification>`, "tune", "Ada Brook"},
		{`<identification><creator>Ada Brook</creator></identification>`, "tune", "Ada Brook"},
		{"<work><work-title>Copyright 2011 by nobody</work-title></work>" + credits, "Rain, and After", "Ada Brook"},
		{"<work><work-title>rain_2.mscz</work-title></work>" + `<identification><creator type="composer">© 2019</creator></identification>` + credits, "Rain, and After", "Ada Brook"},
		{"<movement-title>untitled</movement-title><credit><credit-type>rights</credit-type><credit-words font-size=\"9\">Printed by nobody</credit-words></credit>", "tune", ""},
		{credits, "Rain, and After", "Ada Brook"},
		{"<work><work-title>Suite</work-title></work>" + credits, "Suite", "Ada Brook"},
		{credits + `<credit><credit-type>title</credit-type><credit-words>Fog</credit-words></credit>` +
			`<credit><credit-type>composer</credit-type><credit-words>Eli Fenn</credit-words></credit>`, "Fog", "Eli Fenn"},
	}
	for _, test := range tests {
		s := scoreFrom(t, strings.Replace(sketch("C5 480"), "<part-list>", test.head+"<part-list>", 1))
		if s.Title != test.title || s.Composer != test.composer {
			t.Errorf("%s\nis read as %q by %q, want %q by %q", test.head, s.Title, s.Composer, test.title, test.composer)
		}
	}
}
