package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"sync"
)

// inOrder does a piece of work for each number below n on so many workers at
// once, and takes the results in the order of the numbers, whatever the order
// in which they come. It starts no more once the context is done, lets the
// running ones finish, and returns how many were taken.
func inOrder[T any](ctx context.Context, n, workers int, work func(i int) T, take func(i int, v T)) int {
	results := make([]chan T, n)
	for i := range results {
		results[i] = make(chan T, 1)
	}
	next := make(chan int)
	var running sync.WaitGroup
	for range max(1, min(workers, n)) {
		running.Add(1)
		go func() {
			defer running.Done()
			for i := range next {
				results[i] <- work(i)
			}
		}()
	}
	go func() {
		defer close(next)
		for i := range n {
			select {
			case <-ctx.Done():
				return
			case next <- i:
			}
		}
	}()
	stopped := make(chan struct{})
	go func() { running.Wait(); close(stopped) }()
	for i := range n {
		select {
		case v := <-results[i]:
			take(i, v)
			continue
		case <-stopped:
		}
		// All workers have ended: what is not there now was never started.
		select {
		case v := <-results[i]:
			take(i, v)
		default:
			return i
		}
	}
	return n
}

// untilInterrupt returns a context that ends when the user interrupts the
// program. A second interrupt ends the program at once.
func untilInterrupt() (context.Context, func()) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

// onTerminal reports whether what is written is seen at once by a person.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
