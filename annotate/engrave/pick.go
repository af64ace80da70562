package engrave

import (
	"math"
	"slices"

	"hardbars/annotate/smufl"
	"hardbars/score"
	"hardbars/score/notation"
)

// Lengths of what is picked out, in staff spaces. Our own measure: thin, and a
// little apart, so that the notes stay in front.
const (
	pickLine     = 0.13 // width of lines
	pickGap      = 0.4  // from other ink
	ringGap      = 0.28 // from a head to the ring around it
	ringLeast    = 0.2  // the same between close neighbours
	ringCorner   = 0.75 // radius of its corners
	ringJoins    = 4    // heads no farther apart than so many half spaces share a ring
	signWidth    = 0.95 // of the sign of an attack
	signLeast    = 0.5
	labelSize    = 1.82 // em of a leap's width
	arrowLength  = 0.95 // of its head
	arrowHalf    = 0.36 // half as wide as its head
	arrowLeast   = 1.6  // of the whole, to be straight
	bowAside     = 0.3  // from the middle of a head, so that two bows at one head stay apart
	barWidth     = 0.26 // of the bar along a held note
	barHook      = 0.7  // at its ends
	runLeast     = 6    // chords in a row that share a comb instead of rings
	combTooth    = 0.5
	changeHalf   = 0.5 // half as wide as the sign of a pedal change
	changeHeight = 0.8
)

// pickOut draws what is picked out. Everything that belongs to picked heads
// takes the colour and, plain in grey too, a ring; a comb stands for the rings
// of a long run, and where an upright line or a bar points at a head there is
// neither.
func (l *layout) pickOut() {
	picked := map[int]bool{}
	for _, id := range l.picks.Notes {
		picked[id] = true
	}
	for i, it := range l.items {
		if it.Note >= 0 && picked[it.Note] && it.Role != RoleFingering { // fingers are read, as words are
			l.items[i].Colour = l.picks.Colour
		}
	}
	runs := l.pickedRuns(picked)
	rings := l.ringHeads(picked, runs)
	l.drawLeaps(rings)
	for _, run := range runs {
		l.drawComb(run)
	}
	for _, held := range l.picks.Held {
		l.drawHeld(held)
	}
	l.drawGrid()
}

// pick puts something in the colour over the music, or under it.
func (l *layout) pick(it Item, under bool) Item {
	it.Role, it.Note, it.Chord, it.Colour = RolePick, -1, -1, l.picks.Colour
	it.Box = l.boxOf(it)
	if under {
		l.items = slices.Insert(l.items, 0, it)
	} else {
		l.items = append(l.items, it)
	}
	return it
}

// keep lets a pick stand in the skyline of a staff, so that the next one stands
// beyond it.
func (l *layout) keep(b Box, staff int, above bool) {
	if above {
		l.sky(staff, above).raise(b.Left, b.Right, b.Top)
	} else {
		l.sky(staff, above).raise(b.Left, b.Right, b.Bottom)
	}
}

// outward is the side on which a staff has the edge of the system: above the
// first, below the others.
func outward(staff int) (above bool, dir float64) {
	if staff == 1 {
		return true, -1
	}
	return false, 1
}

// ring is what one ring goes around.
type ring struct {
	staff int
	box   Box
	notes []int
}

// ringHeads draws the rings and tells what each picked head's ring covers.
func (l *layout) ringHeads(picked map[int]bool, runs [][]*chord) map[int]Box {
	marked := l.marked()
	for _, run := range runs {
		for _, c := range run {
			mark(marked, c)
		}
	}
	found := map[int]Box{}
	for _, c := range l.chords {
		for _, r := range ringsOf(c, picked) {
			b := l.around(r.box)
			for _, id := range r.notes {
				found[id] = b
			}
			if !marked[r.notes[0]] {
				l.pick(Item{Staff: r.staff, Shape: ringShape(b)}, false)
				l.keep(b, r.staff, true)
				l.keep(b, r.staff, false)
			}
		}
	}
	return found
}

// around is the outer edge of the ring around heads: nearer to them at a side
// where other heads, accidentals or dots are close.
func (l *layout) around(heads Box) Box {
	b := Box{heads.Left - ringGap, heads.Top - ringGap, heads.Right + ringGap, heads.Bottom + ringGap}
	left, right := ringGap, ringGap
	for _, it := range l.items {
		switch it.Role {
		case RoleHead, RoleAccidental, RoleDot, RoleRest, RoleClef:
		default:
			continue
		}
		if it.Box.Bottom < b.Top || it.Box.Top > b.Bottom {
			continue
		}
		if it.Box.Right <= heads.Left {
			left = min(left, (heads.Left-it.Box.Right)/2)
		}
		if it.Box.Left >= heads.Right {
			right = min(right, (it.Box.Left-heads.Right)/2)
		}
	}
	b.Left, b.Right = heads.Left-max(left, ringLeast), heads.Right+max(right, ringLeast)
	return b
}

// with is the smallest box around two.
func (b Box) with(c Box) Box {
	return Box{min(b.Left, c.Left), min(b.Top, c.Top), max(b.Right, c.Right), max(b.Bottom, c.Bottom)}
}

// marked are the heads that an upright line or a bar points at.
func (l *layout) marked() map[int]bool {
	marked := map[int]bool{}
	for _, held := range l.picks.Held {
		for _, id := range held.Notes {
			marked[id] = true
		}
	}
	for _, tick := range l.picks.Grid {
		for _, c := range l.chords {
			if c.At == tick.At && c.Grace == 0 {
				mark(marked, c)
			}
		}
	}
	return marked
}

func mark(marked map[int]bool, c *chord) {
	for _, n := range c.Notes {
		marked[n.ID] = true
	}
}

// pickedRuns are the long rows of chords of one voice on one staff whose heads
// are all picked, with nothing between them. The ends of leaps keep their rings.
func (l *layout) pickedRuns(picked map[int]bool) [][]*chord {
	if len(l.picks.Leaps) > 0 {
		return nil
	}
	type row struct {
		voice string
		staff int
	}
	var order []row
	rows := map[row][]*chord{}
	for _, c := range l.chords {
		r := row{c.Voice, c.Staff}
		if _, ok := rows[r]; !ok {
			order = append(order, r)
		}
		rows[r] = append(rows[r], c)
	}
	marked := l.marked()
	whole := func(c *chord) bool {
		return !c.Rest && !slices.ContainsFunc(c.heads, func(h head) bool {
			return !picked[h.note.ID] || marked[h.note.ID] || h.staff != c.Staff
		})
	}
	var runs [][]*chord
	for _, r := range order {
		for chords := rows[r]; len(chords) > 0; {
			n := 0
			for n < len(chords) && whole(chords[n]) {
				n++
			}
			if n >= runLeast {
				runs = append(runs, chords[:n])
			}
			chords = chords[max(n, 1):]
		}
	}
	return runs
}

// drawComb draws a line along a run with a tooth at each of its chords.
func (l *layout) drawComb(run []*chord) {
	first, last := run[0], run[len(run)-1]
	above, dir := outward(first.Staff)
	middle := func(c *chord) float64 { return c.x + c.heads[0].width/2 }
	y := l.sky(first.Staff, above).reach(first.x, last.x+last.heads[0].width) + dir*(pickGap+combTooth)
	line := func(x1, y1, x2, y2 float64) Box {
		return l.pick(Item{Staff: first.Staff, Stroke: &Stroke{X1: x1, Y1: y1, X2: x2, Y2: y2, Width: pickLine}}, false).Box
	}
	box := line(middle(first)-pickLine/2, y, middle(last)+pickLine/2, y)
	for _, c := range run {
		line(middle(c), y, middle(c), y-dir*combTooth)
	}
	l.keep(box, first.Staff, above)
}

// ringsOf groups the picked heads of a chord, low to high. No ring goes around a
// head of the chord that is not picked.
func ringsOf(c *chord, picked map[int]bool) []ring {
	var rings []ring
	var last *head
	for i := range c.heads {
		h := &c.heads[i]
		if h.note == nil || h.glyph == "" {
			continue
		}
		if !picked[h.note.ID] {
			last = nil
			continue
		}
		box := Box{h.x, h.y - c.scale/2, h.x + h.width, h.y + c.scale/2}
		if last != nil && last.staff == h.staff && last.pos-h.pos <= ringJoins {
			r := &rings[len(rings)-1]
			r.box, r.notes = r.box.with(box), append(r.notes, h.note.ID)
		} else {
			rings = append(rings, ring{h.staff, box, []int{h.note.ID}})
		}
		last = h
	}
	return rings
}

// drawGrid draws an upright dotted line at each attack, through all staves,
// with a sign on top that tells by its shape who strikes: a tip up for the
// right hand, a tip down for the left, both for both.
func (l *layout) drawGrid() {
	var ticks []Tick
	for _, t := range l.picks.Grid {
		if !t.At.Less(l.from) && t.At.Less(l.to) {
			ticks = append(ticks, t)
		}
	}
	if len(ticks) == 0 {
		return
	}
	half := l.font.Glyph("noteheadBlack").Box.Right / 2
	x := make([]float64, len(ticks))
	for i, t := range ticks {
		x[i] = l.xAt(t.At) + half
	}
	width := signRoom(ticks, x)
	row := l.above[0].reach(x[0]-width, x[len(x)-1]+width) - pickGap - width
	for i, t := range ticks {
		sign := l.pick(Item{Staff: 1, Shape: attackSign(t, x[i], row, width/2)}, false)
		top := sign.Box.Bottom + 0.15
		l.pick(Item{Staff: 1, Stroke: &Stroke{
			X1: x[i], Y1: top, X2: x[i], Y2: l.foot(t.At), Width: pickLine, Dash: pickLine * 1.6,
		}}, true)
	}
}

// signRoom is how wide the signs of attacks may be: those of one hand stand in
// one row.
func signRoom(ticks []Tick, x []float64) float64 {
	width := signWidth
	right, left := math.Inf(-1), math.Inf(-1)
	for i, t := range ticks {
		if t.Right {
			width, right = min(width, (x[i]-right)*0.85), x[i]
		}
		if t.Left {
			width, left = min(width, (x[i]-left)*0.85), x[i]
		}
	}
	return max(width, signLeast)
}

// foot is where an upright line at an instant ends: at the bottom line of the
// last staff, or at the lowest head that strikes there.
func (l *layout) foot(at score.Rat) float64 {
	y := l.top[len(l.top)-1] + staffHeight
	for _, c := range l.chords {
		if c.At == at && !c.Rest {
			y = max(y, c.heads[0].y)
		}
	}
	return y
}

// attackSign is the sign of who strikes, around x, y.
func attackSign(t Tick, x, y, half float64) []Segment {
	up := []Segment{{Op: 'M', X: x - half, Y: y}, {Op: 'L', X: x, Y: y - 2*half}, {Op: 'L', X: x + half, Y: y}}
	down := []Segment{{Op: 'M', X: x - half, Y: y}, {Op: 'L', X: x + half, Y: y}, {Op: 'L', X: x, Y: y + 2*half}}
	switch {
	case t.Right && t.Left:
		return append(up, down...)
	case t.Right:
		return up
	}
	return down
}

// drawLeaps draws the arrows, and then their labels in one row outside the
// system, the widest leap first: one for which the row has no room goes without.
func (l *layout) drawLeaps(rings map[int]Box) {
	var labels []leapLabel
	for _, leap := range l.picks.Leaps {
		if label, ok := l.drawLeap(leap, rings); ok {
			labels = append(labels, label)
		}
	}
	for _, label := range labels {
		above, _ := outward(label.staff)
		l.keep(label.arrow, label.staff, above)
	}
	slices.SortStableFunc(labels, func(a, b leapLabel) int { return b.semitones - a.semitones })
	var taken []Box
	for _, label := range labels {
		taken = l.drawLabel(label, taken)
	}
}

// leapLabel is the label of an arrow around x, and what the arrow
// covers.
type leapLabel struct {
	text      string
	arrow     Box
	x         float64
	staff     int
	semitones int
}

// drawLeap draws an arrow from head to head: straight where nothing is in the
// way, and else in a bow around all ink. ok is false where neither is on this
// system.
func (l *layout) drawLeap(leap Leap, rings map[int]Box) (label leapLabel, ok bool) {
	from, starts := l.pickedBox(leap.From, rings)
	to, lands := l.pickedBox(leap.To, rings)
	if !starts && !lands {
		return label, false
	}
	switch { // the other end is on another system
	case !starts:
		from = Box{l.music - 1, to.Top, l.music, to.Bottom}
	case !lands:
		to = Box{l.width, from.Top, l.width, from.Bottom}
	}
	leaves, reaches := l.noteByID(leap.From), l.noteByID(leap.To)
	staff := leaves.Staff
	p := smufl.Point{X: from.Right + 0.15, Y: (from.Top + from.Bottom) / 2}
	q := smufl.Point{X: to.Left - 0.15, Y: (to.Top + to.Bottom) / 2}
	long := q.X-p.X > ringGap && math.Hypot(q.X-p.X, q.Y-p.Y) >= arrowLeast
	if staff != reaches.Staff || long && l.free(p, q) {
		l.straightArrow(p, q)
		label.arrow = Box{p.X, min(p.Y, q.Y), q.X, max(p.Y, q.Y)}
	} else {
		label.arrow = l.bow(from, to, staff)
	}
	wide := leaves.Written.MIDI() - reaches.Written.MIDI()
	label.text, label.x, label.staff, label.semitones = leap.Label, (from.Right+to.Left)/2, staff, max(wide, -wide)
	return label, true
}

// pickedBox is what a head on this system covers, with its ring.
func (l *layout) pickedBox(id int, rings map[int]Box) (Box, bool) {
	if b, ok := rings[id]; ok {
		return l.atHead(id, b), true
	}
	c := l.byID[id]
	if c == nil {
		return Box{}, false
	}
	for _, h := range c.heads {
		if h.note != nil && h.note.ID == id {
			return Box{h.x - ringGap, h.y - 0.5, h.x + h.width + ringGap, h.y + 0.5}, true
		}
	}
	return Box{}, false
}

// atHead is the part of a ring beside one of its heads.
func (l *layout) atHead(id int, ring Box) Box {
	for _, h := range l.byID[id].heads {
		if h.note != nil && h.note.ID == id {
			ring.Top, ring.Bottom = h.y-0.5, h.y+0.5
		}
	}
	return ring
}

// noteByID is a head wherever it is in the score; one on the first staff for an
// ID that is not in it.
func (l *layout) noteByID(id int) *notation.Note {
	for i := range l.score.Chords {
		notes := l.score.Chords[i].Notes
		for k := range notes {
			if notes[k].ID == id {
				return &notes[k]
			}
		}
	}
	return &notation.Note{Staff: 1}
}

// free reports whether a straight line meets no ink but lines of staves and bars
// and bows, which it may cross.
func (l *layout) free(p, q smufl.Point) bool {
	const aside, step = 0.2, 0.15
	n := max(1, int(math.Hypot(q.X-p.X, q.Y-p.Y)/step))
	for i := range n + 1 {
		t := float64(i) / float64(n)
		x, y := p.X+(q.X-p.X)*t, p.Y+(q.Y-p.Y)*t
		at := Box{x - aside, y - aside, x + aside, y + aside}
		for _, it := range l.items {
			switch it.Role {
			case RoleStaff, RoleLedger, RoleBarline, RoleTie, RoleSlur, RolePick:
				continue
			}
			if it.Box.Meets(at) {
				return false
			}
		}
	}
	return true
}

// straightArrow draws an arrow from p to q.
func (l *layout) straightArrow(p, q smufl.Point) {
	length := math.Hypot(q.X-p.X, q.Y-p.Y)
	dx, dy := (q.X-p.X)/length, (q.Y-p.Y)/length
	shaft := length - arrowLength*0.8
	l.pick(Item{Stroke: &Stroke{X1: p.X, Y1: p.Y, X2: p.X + dx*shaft, Y2: p.Y + dy*shaft, Width: l.font.Defaults.ArrowShaft}}, true)
	l.pick(Item{Shape: arrowhead(q, dx, dy)}, false)
}

// arrowhead is a filled head with its tip at q, pointing along dx, dy.
func arrowhead(q smufl.Point, dx, dy float64) []Segment {
	x, y := q.X-arrowLength*dx, q.Y-arrowLength*dy
	return []Segment{
		{Op: 'M', X: q.X, Y: q.Y},
		{Op: 'L', X: x - arrowHalf*dy, Y: y + arrowHalf*dx},
		{Op: 'L', X: x + arrowHalf*dy, Y: y - arrowHalf*dx},
	}
}

// bow draws an arrow around the ink between two heads of a staff, and tells what
// it covers.
func (l *layout) bow(from, to Box, staff int) Box {
	above, dir := outward(staff)
	sky := l.sky(staff, above)
	x1, x2 := (from.Left+from.Right)/2+bowAside, (to.Left+to.Right)/2-bowAside
	y1, y2 := sky.reach(from.Left, from.Right)+dir*pickGap, sky.reach(to.Left, to.Right)+dir*pickGap
	// The top of a curve lies three quarters of the way to its control points.
	between := sky.reach(x1, x2) + dir*(pickGap+0.6)
	base := min(dir*y1, dir*y2) * dir
	control := base + (between-base)*4/3
	control = max(dir*control, dir*y1+arrowLength*1.5, dir*y2+arrowLength*1.5) * dir
	half := l.font.Defaults.ArrowShaft / 2
	end := y2 + dir*arrowLength*0.8
	band := l.pick(Item{Staff: staff, Shape: []Segment{
		{Op: 'M', X: x1 - half, Y: y1},
		{Op: 'C', X1: x1 - half, Y1: control + dir*half, X2: x2 + half, Y2: control + dir*half, X: x2 + half, Y: end},
		{Op: 'L', X: x2 - half, Y: end},
		{Op: 'C', X1: x2 - half, Y1: control - dir*half, X2: x1 + half, Y2: control - dir*half, X: x1 + half, Y: y1},
	}}, false)
	l.pick(Item{Staff: staff, Shape: arrowhead(smufl.Point{X: x2, Y: y2}, 0, -dir)}, false)
	return band.Box
}

// drawLabel writes how wide a leap is outside the system, and returns what all
// labels take.
func (l *layout) drawLabel(label leapLabel, taken []Box) []Box {
	if label.text == "" {
		return taken
	}
	above, dir := outward(label.staff)
	it := Item{Staff: label.staff, Text: label.text, Face: Face{Size: labelSize, Italic: true}}
	box := measure(it.Text, it.Face)
	it.X = max(l.start, min(label.x-box.Right/2, l.width-box.Right))
	edge := l.sky(label.staff, above).reach(it.X, it.X+box.Right) + dir*pickGap
	if above {
		it.Y = edge - box.Bottom
	} else {
		it.Y = edge - box.Top
	}
	aside := l.boxOf(it)
	aside.Left, aside.Right = aside.Left-1, aside.Right+1
	if slices.ContainsFunc(taken, func(b Box) bool { return b.Left < aside.Right && aside.Left < b.Right }) {
		return taken
	}
	l.keep(l.pick(it, false).Box, label.staff, above)
	l.items[len(l.items)-1].Colour = "" // words are black: small print in a pale colour is hard to read
	return append(taken, aside)
}

// drawHeld draws a bar along a held note, hooked to the staff where it begins
// and ends, with the sign of a pedal change under it wherever there is one.
func (l *layout) drawHeld(h Held) {
	from, staff, ok := l.heldFrom(h)
	if !ok || !from.Less(l.to) || h.Until.Cmp(l.from) <= 0 {
		return
	}
	begins, ends := !from.Less(l.from), h.Until.Cmp(l.to) <= 0
	x1, x2 := l.music, l.width
	if begins {
		x1 = l.xAt(from)
	}
	if ends {
		x2 = max(x1+1, l.xAt(h.Until)-pickGap)
	}
	var changes []float64
	for _, at := range h.Changes {
		if !at.Less(l.from) && at.Less(l.to) {
			changes = append(changes, max(x1+changeHalf, min(l.xAt(at), x2-changeHalf)))
		}
	}
	l.drawBar(x1, x2, begins, ends, changes, staff)
}

// drawBar draws the bar of a held note between two places.
func (l *layout) drawBar(x1, x2 float64, begins, ends bool, changes []float64, staff int) {
	above, dir := outward(staff)
	room := barHook
	if above { // the signs of changes stand between it and the staff
		room = changeHeight + 0.3
	}
	y := l.sky(staff, above).reach(x1, x2) + dir*(pickGap+room+barWidth/2)
	under := y + barWidth/2 + 0.2
	box := l.pick(Item{Staff: staff, Stroke: &Stroke{X1: x1, Y1: y, X2: x2, Y2: y, Width: barWidth}}, false).Box
	hook := func(x float64) {
		l.pick(Item{Staff: staff, Stroke: &Stroke{X1: x, Y1: y, X2: x, Y2: y - dir*barHook, Width: pickLine}}, false)
	}
	if begins {
		hook(x1 + pickLine/2)
	}
	if ends {
		hook(x2 - pickLine/2)
	}
	for _, x := range changes {
		b := l.pick(Item{Staff: staff, Shape: changeSign(x, under)}, false).Box
		box = box.with(b)
	}
	l.keep(box, staff, above)
}

// changeSign is an open tent, like the notch of a pedal line, with its tip at
// x, y.
func changeSign(x, y float64) []Segment {
	const thick = 0.28
	return []Segment{
		{Op: 'M', X: x, Y: y},
		{Op: 'L', X: x + changeHalf, Y: y + changeHeight},
		{Op: 'L', X: x + changeHalf - thick*0.8, Y: y + changeHeight},
		{Op: 'L', X: x, Y: y + thick*1.6},
		{Op: 'L', X: x - changeHalf + thick*0.8, Y: y + changeHeight},
		{Op: 'L', X: x - changeHalf, Y: y + changeHeight},
	}
}

// heldFrom is when a held note begins and its staff: the last one for notes on
// several.
func (l *layout) heldFrom(h Held) (from score.Rat, staff int, ok bool) {
	for i := range l.score.Chords {
		c := &l.score.Chords[i]
		for _, n := range c.Notes {
			if !slices.Contains(h.Notes, n.ID) {
				continue
			}
			if !ok {
				from, staff, ok = c.At, n.Staff, true
			}
			from = score.Min(from, c.At)
			if n.Staff != staff {
				staff = l.score.Staves
			}
		}
	}
	return from, staff, ok
}

// ringShape is a closed line with round corners whose outer edge is a box.
func ringShape(b Box) []Segment {
	inner := Box{b.Left + pickLine, b.Top + pickLine, b.Right - pickLine, b.Bottom - pickLine}
	return append(rounded(b, ringCorner), backwards(rounded(inner, ringCorner-pickLine))...)
}

// bend is how far the control points of a quarter circle lie from its ends, for
// a radius of 1: 4/3·(√2−1).
const bend = 0.5523

// rounded is a box with round corners of a radius, or as far as it goes.
func rounded(b Box, radius float64) []Segment {
	r := min(radius, (b.Right-b.Left)/2, (b.Bottom-b.Top)/2)
	k := r * (1 - bend)
	return []Segment{
		{Op: 'M', X: b.Left + r, Y: b.Top},
		{Op: 'L', X: b.Right - r, Y: b.Top},
		{Op: 'C', X1: b.Right - k, Y1: b.Top, X2: b.Right, Y2: b.Top + k, X: b.Right, Y: b.Top + r},
		{Op: 'L', X: b.Right, Y: b.Bottom - r},
		{Op: 'C', X1: b.Right, Y1: b.Bottom - k, X2: b.Right - k, Y2: b.Bottom, X: b.Right - r, Y: b.Bottom},
		{Op: 'L', X: b.Left + r, Y: b.Bottom},
		{Op: 'C', X1: b.Left + k, Y1: b.Bottom, X2: b.Left, Y2: b.Bottom - k, X: b.Left, Y: b.Bottom - r},
		{Op: 'L', X: b.Left, Y: b.Top + r},
		{Op: 'C', X1: b.Left, Y1: b.Top + k, X2: b.Left + k, Y2: b.Top, X: b.Left + r, Y: b.Top},
	}
}

// backwards is a path the other way round: it makes a hole in one around it.
func backwards(path []Segment) []Segment {
	last := path[len(path)-1]
	out := []Segment{{Op: 'M', X: last.X, Y: last.Y}}
	for i := len(path) - 1; i > 0; i-- {
		s, to := path[i], path[i-1]
		out = append(out, Segment{Op: s.Op, X1: s.X2, Y1: s.Y2, X2: s.X1, Y2: s.Y1, X: to.X, Y: to.Y})
	}
	return out
}
