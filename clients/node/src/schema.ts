import {fileURLToPath} from 'node:url';
import {loadPackageDefinition} from '@grpc/grpc-js';
import {loadSync} from '@grpc/proto-loader';

import type {ProtoGrpcType as ErrorDetails} from './gen/error_details.js';
import type {ProtoGrpcType as Info} from './gen/info_service.js';
import type {ProtoGrpcType as Planning} from './gen/planning_service.js';
import type {ProtoGrpcType as Rip} from './gen/rip_service.js';
import type {ProtoGrpcType as Status} from './gen/status.js';
import type {ProtoGrpcType as Tally} from './gen/tally_service.js';

const at = (path: string) => fileURLToPath(new URL(`../proto/${path}`, import.meta.url));

/**
 * The schema as used here: fields by the schema's names (width_mm) and enums by the names
 * of their values (CUT_OUTCOME_AS_PLANNED), as in JSON, so that one object serves both. The
 * options are those with which the types are generated.
 */
export const schema = loadPackageDefinition(
  loadSync(
    [
      'ripwright/v1/rip_service.proto',
      'ripwright/v1/planning_service.proto',
      'ripwright/v1/tally_service.proto',
      'ripwright/v1/info_service.proto',
      'google/rpc/status.proto',
      'google/rpc/error_details.proto',
    ],
    {
      includeDirs: [at(''), at('third_party')],
      keepCase: true,
      longs: Number,
      enums: String,
      defaults: true,
      oneofs: true,
    },
  ),
) as unknown as Rip & Planning & Tally & Info & Status & ErrorDetails;
