package engrave

// edgeWidth is the white above and below one system by itself, in millimetres.
const edgeWidth = 1.5

// System is one line of music as a drawing of its own, by its place in Systems.
func (d *Drawing) System(i int) *Drawing {
	extent := d.Systems[i]
	top, bottom := extent.Top-edgeWidth, extent.Bottom+edgeWidth
	part := &Drawing{Width: d.Width, Height: bottom - top, Systems: []Extent{{edgeWidth, edgeWidth + extent.Bottom - extent.Top, extent.From, extent.To, extent.Bars}}}
	for _, it := range d.Items {
		if middle := (it.Box.Top + it.Box.Bottom) / 2; middle >= top && middle <= bottom {
			part.Items = append(part.Items, it.scaled(0, -top, 1))
		}
	}
	return part
}
