// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import opercle.ingest.reading.Quantity;

/** Where a value belongs, before it is known whether that tank exists. */
record Place(String tank, Quantity quantity, String probe) {}
