import { z } from 'zod'
import { endpoint } from './endpoint.ts'
import * as f from './facilities.ts'
import { feedView } from './feedView.ts'
import * as i from './imports.ts'
import * as n from './incidents.ts'
import { finding } from './judgement.ts'
import { outOfUse, outOfUseBegin, outOfUseEnd } from './outOfUse.ts'
import { overview } from './overview.ts'
import { flag, id, paging } from './primitives.ts'
import * as p from './profiles.ts'
import * as r from './readings.ts'
import { redoxView } from './redoxView.ts'
import * as s from './samples.ts'
import { snapshotsAnswer, snapshotsQuery } from './snapshots.ts'
import { triageAnswer, triageQuery } from './triage.ts'
import * as w from './work.ts'

const params = <Key extends string>(...keys: Key[]) =>
  z.object(Object.fromEntries(keys.map((key) => [key, id])) as Record<Key, typeof id>)
const list = <Item extends z.ZodType>(item: Item) => z.object({ items: z.array(item), total: z.number().int() })

const create = <Body extends z.ZodType, Answer extends z.ZodType>(
  path: string,
  thing: string,
  body: Body,
  answer: Answer,
) => endpoint({ method: 'POST', path, summary: `Create ${thing}`, body, status: 201, answer })
const edit = <Key extends string, Body extends z.ZodType, Answer extends z.ZodType>(
  path: string,
  key: Key,
  thing: string,
  body: Body,
  answer: Answer,
) =>
  endpoint({
    method: 'PATCH',
    path: `${path}/:${key}`,
    summary: `Edit ${thing}`,
    params: params(key),
    body,
    status: 200,
    answer,
  })
const retire = <Key extends string, Answer extends z.ZodType>(path: string, key: Key, thing: string, answer: Answer) =>
  endpoint({
    method: 'POST',
    path: `${path}/:${key}/retire`,
    summary: `Retire ${thing}: it leaves the lists, its history stays`,
    params: params(key),
    status: 200,
    answer,
  })

const profileParams = z.object({ profileKey: z.string().min(1).max(200) })

/** Every route of the API. */
export const endpoints = {
  listFacilities: endpoint({
    method: 'GET',
    path: '/facilities',
    summary: 'Facilities by name',
    query: paging.extend({ q: z.string().trim().max(100).optional(), retired: flag.optional() }),
    status: 200,
    answer: list(f.facilityListed),
  }),
  getPlant: endpoint({
    method: 'GET',
    path: '/facilities/:facilityId',
    summary: 'A facility with everything that stands there',
    params: params('facilityId'),
    query: z.object({ retired: flag.optional() }),
    status: 200,
    answer: f.plant,
  }),
  createFacility: create('/facilities', 'a facility', f.facilityCreate, f.facility),
  editFacility: edit('/facilities', 'facilityId', 'a facility', f.facilityEdit, f.facility),
  retireFacility: retire('/facilities', 'facilityId', 'a facility', f.facility),
  createEquipmentRoom: create('/equipment-rooms', 'an equipment room', f.equipmentRoomCreate, f.equipmentRoom),
  editEquipmentRoom: edit(
    '/equipment-rooms',
    'equipmentRoomId',
    'an equipment room',
    f.equipmentRoomEdit,
    f.equipmentRoom,
  ),
  retireEquipmentRoom: retire('/equipment-rooms', 'equipmentRoomId', 'an equipment room', f.equipmentRoom),
  createBody: create('/bodies', 'a body of water', f.bodyCreate, f.body),
  editBody: edit('/bodies', 'bodyId', 'a body of water', f.bodyEdit, f.body),
  retireBody: retire('/bodies', 'bodyId', 'a body of water', f.body),
  createController: create('/controllers', 'a controller', f.controllerCreate, f.controller),
  editController: edit('/controllers', 'controllerId', 'a controller', f.controllerEdit, f.controller),
  retireController: retire('/controllers', 'controllerId', 'a controller', f.controller),
  createChannel: create('/channels', 'a channel', f.channelCreate, f.channel),
  retireChannel: retire('/channels', 'channelId', 'a channel', f.channel),
  createFeeder: create('/feeders', 'a feeder', f.feederCreate, f.feeder),
  editFeeder: edit('/feeders', 'feederId', 'a feeder', f.feederEdit, f.feeder),
  retireFeeder: retire('/feeders', 'feederId', 'a feeder', f.feeder),
  createDrum: create('/drums', 'a drum', f.drumCreate, f.drum),
  editDrum: edit('/drums', 'drumId', 'a drum', f.drumEdit, f.drum),
  retireDrum: retire('/drums', 'drumId', 'a drum', f.drum),
  createDrumLevel: endpoint({
    method: 'POST',
    path: '/drums/:drumId/levels',
    summary: 'Record the level of a drum, and a delivery',
    params: params('drumId'),
    body: f.drumLevelCreate,
    status: 201,
    answer: f.drumLevel,
  }),
  listDrumLevels: endpoint({
    method: 'GET',
    path: '/drums/:drumId/levels',
    summary: 'Levels of a drum, newest first',
    params: params('drumId'),
    query: paging,
    status: 200,
    answer: list(f.drumLevel),
  }),

  createReadings: endpoint({
    method: 'POST',
    path: '/readings',
    summary: 'Store manual tests: one, or a whole log sheet; all or none',
    body: r.readingsCreate,
    status: 201,
    answer: z.object({ readings: z.array(r.reading), repeated: z.number().int() }),
  }),
  listReadings: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/readings',
    summary: 'Manual tests of a body, newest first',
    params: params('bodyId'),
    query: paging.extend({ replaced: flag.optional() }),
    status: 200,
    answer: list(r.reading),
  }),
  getReading: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/readings/:readingId',
    summary: 'One test with all its versions, newest first',
    params: params('bodyId', 'readingId'),
    status: 200,
    answer: z.object({ versions: z.array(r.reading) }),
  }),
  correctReading: endpoint({
    method: 'POST',
    path: '/bodies/:bodyId/readings/:readingId/correct',
    summary: 'Replace a test by a corrected version; the old one is kept',
    params: params('bodyId', 'readingId'),
    body: r.readingCorrect,
    status: 201,
    answer: r.reading,
  }),

  createWork: endpoint({
    method: 'POST',
    path: '/work',
    summary: 'Log work at probes, feeders and flow: one kind or several; all or none',
    body: w.worksCreate,
    status: 201,
    answer: z.object({ work: z.array(w.work), repeated: z.number().int() }),
  }),
  listWork: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/work',
    summary: 'Work at a body, newest first',
    params: params('bodyId'),
    query: w.workQuery,
    status: 200,
    answer: list(w.work),
  }),
  getWork: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/work/:workId',
    summary: 'One entry of work with all its versions, newest first',
    params: params('bodyId', 'workId'),
    status: 200,
    answer: z.object({ versions: z.array(w.work) }),
  }),
  correctWork: endpoint({
    method: 'POST',
    path: '/bodies/:bodyId/work/:workId/correct',
    summary: 'Replace an entry of work by a corrected version, or say that it was never done; the old one is kept',
    params: params('bodyId', 'workId'),
    body: w.workCorrect,
    status: 201,
    answer: w.work,
  }),

  takeOutOfUse: endpoint({
    method: 'POST',
    path: '/bodies/:bodyId/out-of-use',
    summary: 'Take a body out of use: its water is not judged, and it is not shown as fine',
    params: params('bodyId'),
    body: outOfUseBegin,
    status: 201,
    answer: outOfUse,
  }),
  putIntoUse: endpoint({
    method: 'POST',
    path: '/bodies/:bodyId/out-of-use/end',
    summary: 'Put a body into use again',
    params: params('bodyId'),
    body: outOfUseEnd,
    status: 200,
    answer: outOfUse,
  }),

  openIncident: create(
    '/incidents',
    'an incident: fecal matter or vomit in a body of water, which closes it',
    n.incidentOpen,
    n.incidentDetail,
  ),
  listIncidents: endpoint({
    method: 'GET',
    path: '/incidents',
    summary: 'Incidents of a body, a facility or all, newest first',
    query: n.incidentsQuery,
    status: 200,
    answer: list(n.incident),
  }),
  getIncident: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/incidents/:incidentId',
    summary: 'An incident: contact time as tests prove it, what to do now, versions, closing',
    params: params('bodyId', 'incidentId'),
    status: 200,
    answer: n.incidentDetail,
  }),
  correctIncident: endpoint({
    method: 'POST',
    path: '/bodies/:bodyId/incidents/:incidentId/correct',
    summary: 'Correct an open incident by a new version; the old one is kept',
    params: params('bodyId', 'incidentId'),
    body: n.incidentCorrect,
    status: 201,
    answer: n.incidentDetail,
  }),
  closeIncident: endpoint({
    method: 'POST',
    path: '/bodies/:bodyId/incidents/:incidentId/close',
    summary: 'Close an incident after its checks; without the contact time only by an authority that is named',
    params: params('bodyId', 'incidentId'),
    body: n.incidentClose,
    status: 200,
    answer: n.incidentDetail,
  }),

  listImports: endpoint({
    method: 'GET',
    path: '/imports',
    summary: 'Imports, newest first',
    query: paging.extend({ facilityId: id.optional() }),
    status: 200,
    answer: list(i.importRecord),
  }),
  getImport: endpoint({
    method: 'GET',
    path: '/imports/:importId',
    summary: 'An import: what was detected, its layout, progress, counts',
    params: params('importId'),
    status: 200,
    answer: i.importDetail,
  }),
  /** multipart/form-data with the fields facilityId, person and file (in this order). */
  uploadExport: endpoint({
    method: 'POST',
    path: '/imports',
    summary: 'Upload a controller export (multipart: facilityId, person, then file) and detect its layout',
    status: 201,
    answer: i.importDetail,
  }),
  detectImport: endpoint({
    method: 'POST',
    path: '/imports/:importId/detect',
    summary: 'Detect the layout anew, with what a person knows better; a check made before no longer counts',
    params: params('importId'),
    body: i.importDetect,
    status: 200,
    answer: i.importDetail,
  }),
  checkImport: endpoint({
    method: 'POST',
    path: '/imports/:importId/check',
    summary: 'Read the whole file with a layout and say what would come in; stores nothing',
    params: params('importId'),
    body: i.importCheck,
    status: 202,
    answer: i.importDetail,
  }),
  runImport: endpoint({
    method: 'POST',
    path: '/imports/:importId/run',
    summary: 'Import the checked file in one transaction',
    params: params('importId'),
    body: i.importRun,
    status: 202,
    answer: i.importDetail,
  }),
  discardImport: endpoint({
    method: 'DELETE',
    path: '/imports/:importId',
    summary: 'Discard a file that has not been imported',
    params: params('importId'),
    status: 204,
    answer: z.null(),
  }),
  listRejects: endpoint({
    method: 'GET',
    path: '/imports/:importId/rejects',
    summary: 'Rows that were left out, with line, column, value and reason',
    params: params('importId'),
    query: paging,
    status: 200,
    answer: list(i.reject),
  }),

  pushSamples: endpoint({
    method: 'POST',
    path: '/samples',
    summary: 'A gateway sends a batch of samples (Authorization: Bearer <gateway token>)',
    body: s.samplePush,
    status: 200,
    answer: s.samplePushed,
  }),
  listGateways: endpoint({
    method: 'GET',
    path: '/gateways',
    summary: 'Gateways',
    status: 200,
    answer: list(s.gateway),
  }),
  createGateway: create('/gateways', 'a gateway; its token is shown once', s.gatewayCreate, s.gatewayCreated),
  revokeGateway: endpoint({
    method: 'POST',
    path: '/gateways/:gatewayId/revoke',
    summary: 'Revoke a gateway: its token stops working at once',
    params: params('gatewayId'),
    status: 200,
    answer: s.gateway,
  }),

  getTriage: endpoint({
    method: 'GET',
    path: '/triage',
    summary: 'Every body of water in the order in which it needs a person',
    query: triageQuery,
    status: 200,
    answer: triageAnswer,
  }),
  getOverview: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId',
    summary: 'One body: what is wrong, why, what to do, latest values, recent readings and imports',
    params: params('bodyId'),
    status: 200,
    answer: overview,
  }),
  listFindings: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/findings',
    summary: 'Findings of a body with their lives, newest first',
    params: params('bodyId'),
    query: paging,
    status: 200,
    answer: list(finding),
  }),
  getRedox: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/redox',
    summary: 'What ORP and pH of a body mean: the relation with its pairs, set point now and advised, drift, pH probe',
    params: params('bodyId'),
    status: 200,
    answer: redoxView,
  }),
  getFeed: endpoint({
    method: 'GET',
    path: '/bodies/:bodyId/feed',
    summary:
      'What the feeders of a body do: run time a day, drums and how long they last, feed settings now and advised',
    params: params('bodyId'),
    status: 200,
    answer: feedView,
  }),
  getSnapshots: endpoint({
    method: 'GET',
    path: '/snapshots',
    summary: 'All that is known of these bodies, and the code profiles that judge them, to reckon with elsewhere',
    query: snapshotsQuery,
    status: 200,
    answer: snapshotsAnswer,
  }),

  listProfiles: endpoint({
    method: 'GET',
    path: '/code-profiles',
    summary: 'Code profiles',
    status: 200,
    answer: list(p.profileListed),
  }),
  getProfile: endpoint({
    method: 'GET',
    path: '/code-profiles/:profileKey',
    summary: 'A code profile with all its rules, its versions and what rests on it',
    params: profileParams,
    status: 200,
    answer: p.profileDetail,
  }),
  createProfile: create(
    '/code-profiles',
    'a profile of the company, derived from another',
    p.profileCreate,
    p.profileDetail,
  ),
  previewProfile: endpoint({
    method: 'POST',
    path: '/code-profiles/preview',
    summary: 'Which bodies would change standing by a change of rules; stores nothing',
    body: p.profilePreview,
    status: 200,
    answer: p.profilePreviewed,
  }),
  editProfile: endpoint({
    method: 'POST',
    path: '/code-profiles/:profileKey/versions',
    summary: 'Store a new version of a profile of the company; the old one is kept',
    params: profileParams,
    body: p.profileEdit,
    status: 201,
    answer: p.profileDetail,
  }),
  retireProfile: endpoint({
    method: 'POST',
    path: '/code-profiles/:profileKey/retire',
    summary: 'Retire a profile of the company that nothing is judged by: it leaves the lists, its history stays',
    params: profileParams,
    body: p.profileRetire,
    status: 200,
    answer: p.profileDetail,
  }),

  getHealth: endpoint({
    method: 'GET',
    path: '/health',
    summary: 'The process lives',
    status: 200,
    answer: z.object({ status: z.literal('ok') }),
  }),
  getReady: endpoint({
    method: 'GET',
    path: '/ready',
    summary: 'The process can serve: the database answers and is migrated',
    status: 200,
    answer: z.object({ status: z.literal('ready') }),
  }),
} as const
export type Endpoints = typeof endpoints
