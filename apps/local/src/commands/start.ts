// npm start: everything on this machine, from the sources to the address in the browser.

import { openDatabase } from '../database.ts'
import { ensureDemo } from '../demo.ts'
import { lockFolder } from '../lock.ts'
import { migrate } from '../migrate.ts'
import { refuseBusyPorts, startApi, startWeb, webUrl } from '../services.ts'
import { Session } from '../session.ts'
import { readSettings } from '../settings.ts'
import { Steps } from '../steps.ts'
import { buildWeb, webIsBuilt } from '../web-build.ts'

const session = new Session()
const steps = new Steps(5)

await session.run(async () => {
  const settings = readSettings(process.env)
  const { dataFolder, dataFolderBecause } = settings
  session.add('', lockFolder(dataFolder, webUrl(settings)))
  if (dataFolderBecause) console.log(`Data goes to ${dataFolder}, because ${dataFolderBecause}.`)
  await refuseBusyPorts(settings)

  steps.begin('Web app', 'looking for changes')
  const built = webIsBuilt()
  if (!built) {
    steps.say('building, takes up to a minute')
    await buildWeb(session.signal)
  }
  steps.done(built ? 'unchanged' : 'built')

  steps.begin('PostgreSQL', settings.databaseUrl ? 'connecting' : 'starting')
  const database = await openDatabase(settings)
  if (database.own)
    session.watch('PostgreSQL', database.own.program, `Its log is in ${dataFolder}/logs; the data stays where it is.`)
  steps.done(database.description)

  steps.begin('Tables', 'bringing up to date')
  const applied = await migrate(database.url)
  steps.done(
    applied.length === 0 ? 'up to date' : `${applied.length} migration${applied.length > 1 ? 's' : ''} applied`,
  )

  steps.begin('Demo', 'looking for facilities')
  steps.done(
    await ensureDemo(database, settings.demo, {
      say: (text) => steps.say(text),
      progress: (part, doing) => steps.progress(part, doing),
      started: (program) => session.add('', program.stop),
    }),
  )

  steps.begin('Serving', 'starting the API')
  session.watch('API', await startApi(settings, database.url), `Its log is ${dataFolder}/logs/api.log.`)
  steps.say('starting the web app')
  session.watch('Web app', await startWeb(settings), `Its log is ${dataFolder}/logs/web.log.`)
  steps.done('ready')

  console.log(`\nSightglass is at ${webUrl(settings)}   (Ctrl-C stops it; the data stays)`)
  if (!['127.0.0.1', 'localhost', '::1'].includes(settings.host))
    console.log(`Anyone who reaches ${settings.host} can read and change everything: there is no sign-in yet.`)
})
