// The child that writes the demo (see demo.ts): a process of its own, so that Ctrl-C ends it at any moment and its memory
// is given back. Each line that it prints for its parent is progress: {"part": 0.42, "doing": "samples"}.
import { seedDemo } from '@sightglass/seed'
import { describe } from './problem.ts'

try {
  await seedDemo({
    databaseUrl: process.env.DATABASE_URL as string,
    onProgress: (part: number, doing: string) => console.log(JSON.stringify({ part, doing })),
  })
  process.exit(0)
} catch (error) {
  console.error(describe(error))
  process.exit(1)
}
