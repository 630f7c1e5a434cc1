// npm run dev: as npm start, but the API restarts and the web app reloads on each change of the sources.
import { openDatabase } from '../database.ts'
import { ensureDemo } from '../demo.ts'
import { lockFolder } from '../lock.ts'
import { migrate } from '../migrate.ts'
import { developing, refuseBusyPorts, startApi, startWeb, webUrl } from '../services.ts'
import { Session } from '../session.ts'
import { readSettings } from '../settings.ts'
import { Steps } from '../steps.ts'

const session = new Session()
const steps = new Steps(1)

await session.run(async () => {
  const settings = readSettings(process.env)
  session.add('', lockFolder(settings.dataFolder, webUrl(settings)))
  await refuseBusyPorts(settings)
  const database = await openDatabase(settings)
  if (database.own) session.watch('PostgreSQL', database.own.program, '')
  await migrate(database.url)
  steps.begin('Demo', 'looking for facilities')
  steps.done(
    await ensureDemo(database, settings.demo, {
      say: (text) => steps.say(text),
      progress: (part, doing) => steps.progress(part, doing),
      started: (program) => session.add('', program.stop),
    }),
  )
  session.watch('API', await startApi(settings, database.url, developing), '')
  session.watch('Web app', await startWeb(settings, developing), '')
  console.log(`\nSightglass is at ${webUrl(settings)}; PostgreSQL ${database.description}`)
})
