package musicxml

import "strconv"

// voiceNames gives the notes, by ID, the names of their voices. Where one name
// is used on two staves at once, or the file names none, the staff is part of it.
func (w *writer) voiceNames() map[int]string {
	passages := w.passages()
	reused := reusedVoices(passages, w.Staves)
	names := map[int]string{}
	for n := range w.apart {
		names[w.apart[n].ID] = w.apart[n].Voice
	}
	for _, p := range passages {
		for _, n := range p.notes {
			switch {
			case p.name == "" || p.part > 0:
				names[n.ID] = onStaff(p.name, n.Staff)
			case reused[p.voice]:
				names[n.ID] = onStaff(p.name, p.staves.most())
			default:
				names[n.ID] = p.name
			}
		}
	}
	return names
}

func onStaff(voice string, staff int) string { return voice + "/" + strconv.Itoa(staff) }
