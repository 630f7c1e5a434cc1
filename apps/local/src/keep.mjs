// Keeps one program running for as long as the process that started it lives: whatever ends that process, a kill -9
// included, closes our stdin, and then the program is asked to stop, and made to when it doesn't. Standing in a process
// group of its own, it doesn't hear Ctrl-C either: what stops when is decided in one place.
//
//   node keep.mjs '{"command","args","uid","gid","stopSignal","graceMs","removeAfter"}'
import { spawn } from 'node:child_process'
import { rmSync } from 'node:fs'

const { command, args, uid, gid, stopSignal, graceMs, removeAfter } = JSON.parse(process.argv[2])
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, stop)

const child = spawn(command, args, { stdio: ['ignore', 'inherit', 'inherit'], detached: true, uid, gid })
let asked = false

child.on('error', (error) => {
  console.error(error.message)
  finish(127)
})
child.on('exit', (code, signal) => {
  killGroup()
  finish(asked ? 0 : (code ?? (signal ? 1 : 0)))
})

process.stdin.resume()
process.stdin.on('end', stop)
process.stdin.on('error', stop)

function stop() {
  if (asked) return
  asked = true
  child.kill(stopSignal)
  setTimeout(killGroup, graceMs).unref()
}

function killGroup() {
  try {
    process.kill(-child.pid, 'SIGKILL')
  } catch {
    // nobody of the group is left
  }
}

function finish(code) {
  if (removeAfter) rmSync(removeAfter, { recursive: true, force: true })
  process.exit(code)
}
