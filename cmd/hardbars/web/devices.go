package web

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"rsc.io/qr"

	"hardbars/cmd/hardbars/beside"
)

// devices are those that may look at the page from elsewhere. Each has a token
// of its own in a cookie; what is kept here is its digest, so that nobody who
// reads the file can pass for a device.
type devices struct {
	mu   sync.Mutex
	path string
}

// device is one of them, as devices.json has it.
type device struct {
	Digest string    `json:"digest"` // SHA-256 of the token, in hexadecimal
	Name   string    `json:"name"`   // what its browser calls itself
	Added  time.Time `json:"added"`
}

func openDevices(dir string) *devices { return &devices{path: filepath.Join(dir, "devices.json")} }

// read reads the list; one that cannot be read lets nobody in.
func (d *devices) read() []device {
	var list []device
	data, err := os.ReadFile(d.path)
	if err == nil {
		err = json.Unmarshal(data, &list)
	}
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		log.Printf("%s cannot be read, no device is known: %v", d.path, err)
		return nil
	}
	return list
}

func (d *devices) write(list []device) error {
	return beside.Rewrite(d.path, func(w io.Writer) error { return json.NewEncoder(w).Encode(list) })
}

func digest(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// pair takes a device in and returns its token.
func (d *devices) pair(name string, now time.Time) (token string, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	token = rand.Text()
	return token, d.write(append(d.read(), device{digest(token), name, now.UTC()}))
}

// known reports whether a token is that of a device.
func (d *devices) known(token string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	found := 0
	for _, other := range d.read() {
		found |= subtle.ConstantTimeCompare([]byte(other.Digest), []byte(digest(token)))
	}
	return found == 1
}

// only takes every device off the list but the one with a token.
func (d *devices) only(token string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	var kept []device
	for _, other := range d.read() {
		if other.Digest == digest(token) {
			kept = append(kept, other)
		}
	}
	return d.write(kept)
}

// browserWords is what a browser calls itself, in a word or two.
func browserWords(agent string) string {
	var words []string
	for _, name := range []string{"iPad", "iPhone", "Android", "Windows", "Macintosh", "Linux"} {
		if strings.Contains(agent, name) {
			words = append(words, name)
			break
		}
	}
	for _, name := range []string{"Firefox", "Edg", "Chrome", "Safari"} {
		if strings.Contains(agent, name) {
			words = append(words, strings.Replace(name, "Edg", "Edge", 1))
			break
		}
	}
	if words == nil {
		return "a browser"
	}
	return strings.Join(words, ", ")
}

// addresses are all by which other devices can reach a page that listens on an
// address: itself, or where it listens everywhere each of this computer's.
func addresses(bound netip.AddrPort) []netip.AddrPort {
	if !bound.Addr().IsUnspecified() {
		return []netip.AddrPort{bound}
	}
	own, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var all []netip.AddrPort
	for _, a := range own {
		prefix, err := netip.ParsePrefix(a.String())
		addr := prefix.Addr().Unmap()
		if err != nil || addr.IsLoopback() || addr.IsLinkLocalUnicast() || bound.Addr().Is4() && !addr.Is4() {
			continue
		}
		all = append(all, netip.AddrPortFrom(addr, bound.Port()))
	}
	return all
}

// address is one to open, with the token to pair with where there is one.
func (s *Server) address(at netip.AddrPort) string {
	u := url.URL{Scheme: "http", Host: at.String(), Path: "/"}
	if s.token != "" {
		u.RawQuery = url.Values{tokenName: {s.token}}.Encode()
	}
	return u.String()
}

// quiet is the white around a QR code, in its squares (ISO/IEC 18004).
const quiet = 4

// QRText draws an address as a QR code for a terminal with a dark or a light
// ground, two rows of squares a line.
func QRText(address string) (string, error) {
	code, err := qr.Encode(address, qr.L)
	if err != nil {
		return "", fmt.Errorf("the address cannot be drawn: %w", err)
	}
	white := func(x, y int) bool { return !code.Black(x-quiet, y-quiet) }
	var b strings.Builder
	for y := 0; y < code.Size+2*quiet; y += 2 {
		for x := range code.Size + 2*quiet {
			switch upper, under := white(x, y), white(x, y+1); {
			case upper && under:
				b.WriteRune('█')
			case upper:
				b.WriteRune('▀')
			case under:
				b.WriteRune('▄')
			default:
				b.WriteRune(' ')
			}
		}
		b.WriteByte('\n')
	}
	return b.String(), nil
}

// qrPicture draws an address as an SVG picture.
func qrPicture(address string) (picture, error) {
	code, err := qr.Encode(address, qr.L)
	if err != nil {
		return "", err
	}
	size := code.Size + 2*quiet
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="qr" viewBox="0 0 %d %d" role="img" aria-label="The address as a QR code"><rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="`, size, size, size, size)
	for y := range code.Size {
		for x := range code.Size {
			if code.Black(x, y) {
				fmt.Fprintf(&b, "M%d %dh1v1h-1z", x+quiet, y+quiet)
			}
		}
	}
	b.WriteString(`"/></svg>`)
	return picture(b.String()), nil
}

// devicesView is what the page of the devices shows.
type devicesView struct {
	Open      bool // beyond this computer
	Addresses []string
	QR        picture
	Devices   []device
	Mine      string // the digest of the one that asks; "" for none
}

func (s *Server) showDevices(w http.ResponseWriter, r *http.Request) error {
	v := devicesView{Open: s.token != "", Devices: s.devices.read()}
	for _, at := range s.reach {
		v.Addresses = append(v.Addresses, s.address(at))
	}
	if len(v.Addresses) > 0 {
		var err error
		if v.QR, err = qrPicture(v.Addresses[0]); err != nil {
			return err
		}
	}
	if c, err := r.Cookie(tokenName); err == nil {
		v.Mine = digest(c.Value)
	}
	s.show(w, r, http.StatusOK, "devices", frame{Title: "Devices", Here: "devices"}, v)
	return nil
}

// emptyDevices takes every device off the list but the one that asks.
func (s *Server) emptyDevices(w http.ResponseWriter, r *http.Request) error {
	mine := ""
	if c, err := r.Cookie(tokenName); err == nil {
		mine = c.Value
	}
	if err := s.devices.only(mine); err != nil {
		return err
	}
	http.Redirect(w, r, "/devices", http.StatusSeeOther)
	return nil
}
