package web

import (
	"crypto/rand"
	"slices"
	"sync"
	"time"

	"limekeep/cmd/limekeep/web/form"
)

// keptUploads are files that were brought and looked at, and are not taken yet. They
// stand in the memory for a while: a server that starts again asks for them again.
type keptUploads struct {
	mu  sync.Mutex
	all []keptUpload // the newest last
}

type keptUpload struct {
	id   string
	at   time.Time
	file form.Upload
}

// Bounds on what is kept. Assumptions: nobody looks at more logs at a time, or longer.
const (
	mostUploads     = 6
	mostUploadsKept = 48 << 20 // bytes
	uploadLasts     = time.Hour
)

// keep keeps a file and returns a name for it that nobody guesses.
func (k *keptUploads) keep(file form.Upload) string {
	k.mu.Lock()
	defer k.mu.Unlock()
	id := rand.Text()
	k.all = append(k.all, keptUpload{id, time.Now(), file})
	k.tidy()
	return id
}

// find returns a file that is kept; false where it is no longer.
func (k *keptUploads) find(id string) (form.Upload, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.tidy()
	i := slices.IndexFunc(k.all, func(u keptUpload) bool { return u.id == id })
	if i < 0 {
		return form.Upload{}, false
	}
	return k.all[i].file, true
}

// tidy lets go of what is old, and of the oldest where there is too much; k is locked.
func (k *keptUploads) tidy() {
	bytes := 0
	for i := len(k.all) - 1; i >= 0; i-- {
		bytes += len(k.all[i].file.Data)
		if len(k.all)-i > mostUploads || bytes > mostUploadsKept && i < len(k.all)-1 || time.Since(k.all[i].at) > uploadLasts {
			k.all = slices.Clone(k.all[i+1:])
			return
		}
	}
}
