import { describe, expect, it } from 'vitest'
import { errorsOf, payloadOf, valuesOf } from '../../../apps/web/screens/facilities/form.ts'
import { fieldsOf, THINGS } from '../../../apps/web/screens/facilities/kinds.ts'

const fields = fieldsOf('body', null, [], 'America/Chicago')
const stored = { name: 'Spa', useClass: 'spa', volumeL: 3785.411784, flowLMin: null, cyanuricAcidUsed: true, note: '' }

describe('the form of a thing of the plant', () => {
  it('shows stored quantities in the reader’s units', () => {
    expect(valuesOf(fields, stored, 'us')).toMatchObject({ volumeL: '1,000', flowLMin: '', cyanuricAcidUsed: true })
    expect(valuesOf(fields, stored, 'metric')).toMatchObject({ volumeL: '3,785.4' })
  })

  it('sends only what was changed, so that no conversion shifts the rest', () => {
    const before = valuesOf(fields, stored, 'us')
    const { payload } = payloadOf(fields, { ...before, name: 'Hot spa', flowLMin: '50' }, before, 'us')
    expect(payload).toEqual({ name: 'Hot spa', flowLMin: expect.closeTo(189.27, 2) })
  })

  it('empties a quantity with null, not with zero', () => {
    const before = valuesOf(fields, stored, 'us')
    expect(payloadOf(fields, { ...before, volumeL: '' }, before, 'us').payload).toEqual({ volumeL: null })
  })

  it('says what is wrong at its field', () => {
    const wrong = { ...valuesOf(fields, null, 'us'), name: ' ', volumeL: 'big', flowLMin: '0' }
    expect(payloadOf(fields, wrong, null, 'us').errors).toEqual({
      name: 'must not be empty',
      volumeL: '“big” is not a number',
      flowLMin: 'must be more than 0',
    })
  })

  it('puts the API’s complaints at their fields', () => {
    const problem = {
      type: '/problems/invalid',
      title: 'No',
      status: 400,
      requestId: '',
      fields: [
        { path: 'body.volumeL', message: 'too large' },
        { path: 'body.id', message: 'taken' },
      ],
    }
    expect(errorsOf(problem, fields)).toEqual({ byField: { volumeL: 'too large' }, rest: ['id: taken'] })
  })

  it.each(THINGS)('of a %s begins complete but for what only a person knows', (thing) => {
    const own = fieldsOf(thing, null, [{ value: 'p', label: 'P' }], 'America/Chicago')
    const { errors } = payloadOf(own, valuesOf(own, null, 'us'), null, 'us')
    expect(Object.keys(errors).filter((name) => !['name', 'capacityL', 'bodyId'].includes(name))).toEqual([])
  })
})
