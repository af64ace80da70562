package musicxml

import (
	"slices"
	"strings"

	"github.com/beevik/etree"
)

// partView is one part of the score, the same for both layouts of MusicXML.
type partView struct {
	id, name string
	info     *etree.Element // <score-part>; nil where the part list does not name the part
	groups   []string       // names of the part groups around it: the brace of a piano may carry its name
	assumed  string         // why it was taken for the piano, where neither the score nor the player says so
	measures []measureView
}

// measureView is one measure of one part.
type measureView struct {
	elem    *etree.Element // <measure>: its number and implicit attributes
	content *etree.Element // whose children are <note>, <backup>, …; nil where a timewise measure lacks the part
}

// parts returns the parts that the music holds, in the order in which they
// first appear. The tree itself is not rearranged.
func (f *File) parts() []partView {
	root := f.Doc.Root()
	if root.Tag == "score-timewise" {
		return timewiseParts(root, partList(root))
	}
	return partwiseParts(root, partList(root))
}

func partwiseParts(root *etree.Element, list map[string]partView) []partView {
	var parts []partView
	for elem := range root.SelectElementsSeq("part") {
		p := listed(list, elem)
		for m := range elem.SelectElementsSeq("measure") {
			p.measures = append(p.measures, measureView{elem: m, content: m})
		}
		parts = append(parts, p)
	}
	return parts
}

func timewiseParts(root *etree.Element, list map[string]partView) []partView {
	var parts []partView
	index := map[string]int{} // into parts, by id
	measures := root.SelectElements("measure")
	for i, m := range measures {
		for elem := range m.SelectElementsSeq("part") {
			id := elem.SelectAttrValue("id", "")
			if _, known := index[id]; !known {
				p := listed(list, elem)
				for _, m := range measures {
					p.measures = append(p.measures, measureView{elem: m})
				}
				index[id] = len(parts)
				parts = append(parts, p)
			}
			parts[index[id]].measures[i].content = elem
		}
	}
	return parts
}

// listed is what the part list says of a <part>.
func listed(list map[string]partView, part *etree.Element) partView {
	p := list[part.SelectAttrValue("id", "")]
	p.id = part.SelectAttrValue("id", "")
	return p
}

// partList reads <part-list>: by id, every part without its music.
func partList(root *etree.Element) map[string]partView {
	type group struct{ number, name string }
	var open []group
	list := map[string]partView{}
	for e := range root.SelectElement("part-list").NotNil().ChildElementsSeq() {
		switch e.Tag {
		case "part-group":
			number := e.SelectAttrValue("number", "1")
			open = slices.DeleteFunc(open, func(g group) bool { return g.number == number })
			if e.SelectAttrValue("type", "") == "start" {
				open = append(open, group{number, childText(e, "group-name")})
			}
		case "score-part":
			p := partView{name: childText(e, "part-name"), info: e}
			for _, g := range open {
				p.groups = append(p.groups, g.name)
			}
			list[e.SelectAttrValue("id", "")] = p
		}
	}
	return list
}

// childText is the text of an element's first child of that name, with white
// space made single; "" where there is none.
func childText(e *etree.Element, tag string) string { return text(e.SelectElement(tag).NotNil()) }

func text(e *etree.Element) string { return strings.Join(strings.Fields(e.Text()), " ") }
