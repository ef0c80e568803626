import type {ConfirmCutRequest} from './gen/ripwright/v1/ConfirmCutRequest.js';
import type {ConfirmCutResponse__Output} from './gen/ripwright/v1/ConfirmCutResponse.js';
import type {CheckPlanRequest} from './gen/ripwright/v1/CheckPlanRequest.js';
import type {CheckPlanResponse__Output} from './gen/ripwright/v1/CheckPlanResponse.js';
import type {DrawPlanRequest} from './gen/ripwright/v1/DrawPlanRequest.js';
import type {DrawPlanResponse__Output} from './gen/ripwright/v1/DrawPlanResponse.js';
import type {GetServerInfoRequest} from './gen/ripwright/v1/GetServerInfoRequest.js';
import type {GetServerInfoResponse__Output} from './gen/ripwright/v1/GetServerInfoResponse.js';
import type {ListSawsRequest} from './gen/ripwright/v1/ListSawsRequest.js';
import type {ListSawsResponse__Output} from './gen/ripwright/v1/ListSawsResponse.js';
import type {PlanArborRequest} from './gen/ripwright/v1/PlanArborRequest.js';
import type {PlanArborResponse__Output} from './gen/ripwright/v1/PlanArborResponse.js';
import type {PlanValuesRequest} from './gen/ripwright/v1/PlanValuesRequest.js';
import type {PlanValuesResponse__Output} from './gen/ripwright/v1/PlanValuesResponse.js';
import type {QuoteOrderRequest} from './gen/ripwright/v1/QuoteOrderRequest.js';
import type {QuoteOrderResponse__Output} from './gen/ripwright/v1/QuoteOrderResponse.js';
import type {SequenceOrdersRequest} from './gen/ripwright/v1/SequenceOrdersRequest.js';
import type {SequenceOrdersResponse__Output} from './gen/ripwright/v1/SequenceOrdersResponse.js';
import type {ShareOrderRequest} from './gen/ripwright/v1/ShareOrderRequest.js';
import type {ShareOrderResponse__Output} from './gen/ripwright/v1/ShareOrderResponse.js';
import type {SolveBoardRequest} from './gen/ripwright/v1/SolveBoardRequest.js';
import type {SolveBoardResponse__Output} from './gen/ripwright/v1/SolveBoardResponse.js';
import type {TallyPackRequest} from './gen/ripwright/v1/TallyPackRequest.js';
import type {TallyPackResponse__Output} from './gen/ripwright/v1/TallyPackResponse.js';

/** The request and answer of each call, by gRPC and JSON. */
export interface Calls {
  SolveBoard: [SolveBoardRequest, SolveBoardResponse__Output];
  CheckPlan: [CheckPlanRequest, CheckPlanResponse__Output];
  DrawPlan: [DrawPlanRequest, DrawPlanResponse__Output];
  ConfirmCut: [ConfirmCutRequest, ConfirmCutResponse__Output];
  QuoteOrder: [QuoteOrderRequest, QuoteOrderResponse__Output];
  PlanValues: [PlanValuesRequest, PlanValuesResponse__Output];
  SequenceOrders: [SequenceOrdersRequest, SequenceOrdersResponse__Output];
  ShareOrder: [ShareOrderRequest, ShareOrderResponse__Output];
  PlanArbor: [PlanArborRequest, PlanArborResponse__Output];
  TallyPack: [TallyPackRequest, TallyPackResponse__Output];
  GetServerInfo: [GetServerInfoRequest, GetServerInfoResponse__Output];
  ListSaws: [ListSawsRequest, ListSawsResponse__Output];
}

/** The place of each call: its service on a connection, and its path for JSON. */
export const places: {readonly [Name in keyof Calls]: readonly ['rip' | 'planning' | 'tally' | 'info', string]} = {
  SolveBoard: ['rip', '/v1/boards:solve'],
  CheckPlan: ['rip', '/v1/boards:check'],
  DrawPlan: ['rip', '/v1/boards:draw'],
  ConfirmCut: ['rip', '/v1/cuts:confirm'],
  QuoteOrder: ['planning', '/v1/orders:quote'],
  PlanValues: ['planning', '/v1/orders:planValues'],
  SequenceOrders: ['planning', '/v1/orders:sequence'],
  ShareOrder: ['planning', '/v1/orders:share'],
  PlanArbor: ['planning', '/v1/arbors:plan'],
  TallyPack: ['tally', '/v1/packs:tally'],
  GetServerInfo: ['info', '/v1/serverInfo'],
  ListSaws: ['info', '/v1/saws'],
};

/** Options of a call. */
export interface Asking {
  /** Cancels the call when aborted: AbortSignal.timeout(30_000). */
  signal?: AbortSignal;
}
