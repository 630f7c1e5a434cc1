import { call, loaded } from './api.ts'

/** The code profiles to choose from; empty when they cannot be had, which must not keep a page from opening. */
export async function profileOptions() {
  const listed = await loaded(() => call('listProfiles', {}))
  if ('problem' in listed) return []
  return listed.data.items.map(({ key, name, edition }) => ({
    value: key,
    label: edition ? `${name}, ${edition}` : name,
  }))
}
