package engrave

// lyricSize is the em of the words under the notes, in staff spaces (common
// practice).
const lyricSize = 1.9

// lyrics draws the words under the notes, line by line, each in the middle of its
// note.
func (l *layout) lyrics() {
	for staff := 1; staff <= l.score.Staves; staff++ {
		for line := 0; ; line++ {
			var row []sign
			for i := range l.score.Chords {
				c := &l.score.Chords[i]
				if c.Staff != staff || !l.here(c.At) || line >= len(c.Lyrics) || c.Lyrics[line] == "" {
					continue
				}
				s := sign{legend: l.words(RoleWords, c.Lyrics[line], Face{Size: lyricSize}, l.width), at: c.At, staff: staff, rank: wordsRank, chain: i}
				s.move(l.xAt(c.At)+headMiddle-(s.box.Left+s.box.Right)/2, 0)
				row = append(row, s)
			}
			if row == nil {
				break
			}
			l.setRow(row, staff, false, signGap)
		}
	}
}

// headMiddle is from the left edge of a note's column to the middle of its head.
const headMiddle = 0.6
