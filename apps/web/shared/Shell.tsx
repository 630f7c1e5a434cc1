'use client'
import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { useEffect, useRef } from 'react'
import { UnitsSwitch } from './Units.tsx'

const PLACES = [
  { href: '/', words: 'Triage' },
  { href: '/readings/new', words: 'Enter a test' },
  { href: '/readings/sheet', words: 'Log sheet' },
  { href: '/imports', words: 'Imports' },
  { href: '/facilities', words: 'Facilities' },
  { href: '/profiles', words: 'Code profiles' },
  { href: '/gateways', words: 'Gateways' },
]

const isHere = (href: string, path: string) =>
  href === '/' ? path === '/' : path === href || path.startsWith(`${href}/`)

export function Shell() {
  const path = usePathname()
  const menu = useRef<HTMLDetailsElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the menu closes when the page changes
  useEffect(() => {
    if (menu.current) menu.current.open = false
  }, [path])
  const links = PLACES.map(({ href, words }) => (
    <li key={href}>
      <Link href={href} aria-current={isHere(href, path) ? 'page' : undefined}>
        {words}
      </Link>
    </li>
  ))
  return (
    <header className="shell">
      <a className="skip" href="#main">
        To the content
      </a>
      <Link href="/" className="wordmark" aria-label="Sightglass, morning triage">
        <svg width="18" height="24" viewBox="0 0 18 24" aria-hidden="true">
          <rect x="2" y="1" width="14" height="22" rx="7" fill="none" stroke="currentColor" strokeWidth="2" />
          <path d="M3 14c3-3 5-3 6 0s4 3 6 0v3a6 6 0 0 1-12 0Z" fill="currentColor" />
        </svg>
        Sightglass
      </Link>
      <nav aria-label="Main" className="shell-nav">
        <ul>
          {links}
          <ApiLink />
        </ul>
      </nav>
      <UnitsSwitch />
      <details className="shell-menu" ref={menu}>
        <summary>Menu</summary>
        <nav aria-label="Menu">
          <ul>
            {links}
            <ApiLink />
          </ul>
        </nav>
      </details>
    </header>
  )
}

const ApiLink = () => (
  <li>
    <a href="/api/docs">API</a>
  </li>
)
