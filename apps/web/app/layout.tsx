import '@fontsource-variable/source-sans-3/wght.css'
import '@fontsource-variable/source-serif-4/wght.css'
import '../styles/tokens.css'
import '../styles/base.css'
import '../styles/parts.css'
import '../styles/triage.css'
import '../styles/body.css'
import '../styles/forms.css'
import '../styles/incident.css'
import '../styles/plant.css'
import '../styles/work.css'
import '../styles/meaning.css'
import '../styles/profiles.css'
import type { Metadata, Viewport } from 'next'
import { cookies } from 'next/headers'
import type { ReactNode } from 'react'
import { Providers } from '../shared/Providers.tsx'
import { Shell } from '../shared/Shell.tsx'

export const metadata: Metadata = {
  title: { default: 'Sightglass', template: '%s · Sightglass' },
  description: 'Every body of water in the order in which it needs a person.',
}
export const viewport: Viewport = { width: 'device-width', initialScale: 1, colorScheme: 'light dark' }

export default async function Layout({ children }: { children: ReactNode }) {
  const system = (await cookies()).get('units')?.value === 'metric' ? 'metric' : 'us'
  return (
    <html lang="en">
      <body>
        <Providers system={system}>
          <Shell />
          {children}
        </Providers>
      </body>
    </html>
  )
}
