BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0003');
CREATE TABLE backup (
	digest VARCHAR(64) NOT NULL, 
	path TEXT NOT NULL, 
	made VARCHAR(24) NOT NULL, 
	PRIMARY KEY (digest)
);
CREATE TABLE client_reading (
	client VARCHAR(64) NOT NULL, 
	name TEXT NOT NULL, 
	search TEXT NOT NULL, 
	visits INTEGER NOT NULL, 
	last_visit VARCHAR(10), 
	next_visit VARCHAR(10), next_gloss VARCHAR(10), alert_until VARCHAR(10), 
	PRIMARY KEY (client)
);
INSERT INTO "client_reading" VALUES('client-221f9e84cb9d4e4b9cd6771f683dae8b','Lorna Hexwillow','lorna hexwillow',1,'2026-12-09',NULL,NULL,NULL);
INSERT INTO "client_reading" VALUES('client-a382f919c5f34d1f95d136713af5e9e0','Zoë Quillfeather','zoe quillfeather',0,NULL,NULL,NULL,NULL);
CREATE TABLE device (
	name VARCHAR(64) NOT NULL, 
	up_to BIGINT NOT NULL, 
	PRIMARY KEY (name)
);
INSERT INTO "device" VALUES('desk',4);
INSERT INTO "device" VALUES('tablet',26);
CREATE TABLE fact (
	place INTEGER NOT NULL, 
	stream VARCHAR(64) NOT NULL, 
	id VARCHAR(64) NOT NULL, 
	kind TEXT NOT NULL, 
	body TEXT NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	device VARCHAR(64) NOT NULL, 
	device_seq BIGINT NOT NULL, 
	received VARCHAR(24) NOT NULL, 
	PRIMARY KEY (place), 
	CONSTRAINT one_of_a_fact UNIQUE (id, digest), 
	FOREIGN KEY(stream) REFERENCES stream (name)
);
INSERT INTO "fact" VALUES(1,'client-221f9e84cb9d4e4b9cd6771f683dae8b','afe14e6b11584a8da25ad71cd190d97c','client.named','{"by":"Ada","device":"desk","device_seq":1,"device_time":"2026-12-03T08:00:00.000Z","id":"afe14e6b11584a8da25ad71cd190d97c","kind":"client.named","offset":60,"payload":{"name":"Lorna Hexwillow"},"schema":1,"stream":"client-221f9e84cb9d4e4b9cd6771f683dae8b"}','a1dc48942dda8f7c8e31b0aa7ad1d7cc5432a496d3b43c299c7dd639c395a9fb','desk',1,'2026-11-26T11:59:38.846Z');
INSERT INTO "fact" VALUES(2,'client-a382f919c5f34d1f95d136713af5e9e0','dea641bb1fef4c869e86e53aed3a9ecd','client.named','{"by":"Ada","device":"desk","device_seq":2,"device_time":"2026-12-03T08:00:01.000Z","id":"dea641bb1fef4c869e86e53aed3a9ecd","kind":"client.named","offset":60,"payload":{"name":"Zo\u00eb Quillfeather"},"schema":1,"stream":"client-a382f919c5f34d1f95d136713af5e9e0"}','2cf380057b5c05ae85ff2c4c59bc1e11f66b2fd67aea4dfe9dde96ef8c0aa1b0','desk',2,'2026-11-26T11:59:38.872Z');
INSERT INTO "fact" VALUES(3,'v-2026-12-09-lorna','chair-1','visit.started','{"by":"colourist","device":"tablet","device_seq":1,"device_time":"2026-12-09T08:25:00Z","id":"chair-1","kind":"visit.started","offset":60,"payload":{"client":"Lorna Hexwillow","date":"2026-12-09","plan":"lorna-1"},"schema":1,"stream":"v-2026-12-09-lorna"}','7527a94dcb010283b29ed32cf168a566cda84c22cdd2fb5aa42cb8f509af85b9','tablet',1,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(4,'v-2026-12-09-lorna','chair-2','changed','{"by":"colourist","device":"tablet","device_seq":2,"device_time":"2026-12-09T08:25:30Z","id":"chair-2","kind":"changed","offset":60,"payload":{"minutes":25,"what":"late","why":"the bus"},"schema":1,"stream":"v-2026-12-09-lorna"}','41a7f3514c508fc33728ff1a2be962f74885161c8bfb9f5dc2341f872542b3ec','tablet',2,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(5,'v-2026-12-09-lorna','chair-3','bowl.mixed','{"by":"colourist","device":"tablet","device_seq":3,"device_time":"2026-12-09T08:33:00Z","id":"chair-3","kind":"bowl.mixed","offset":60,"payload":{"bowl":"weak","developer_grams":55,"developer_vol":12.5,"powder_grams":27.5},"schema":1,"stream":"v-2026-12-09-lorna"}','ae1278ba8f8af03049da985f8358cf068bcf91ac0a207bfd6f017fa0d295cc00','tablet',3,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(6,'v-2026-12-09-lorna','chair-4','section.begun','{"by":"colourist","device":"tablet","device_seq":4,"device_time":"2026-12-09T08:35:30Z","id":"chair-4","kind":"section.begun","offset":60,"payload":{"first_foil":1,"section":"nape hairline"},"schema":1,"stream":"v-2026-12-09-lorna"}','a615a99fb050152ad35e62e178cb9a4c5ff30a3d8b9f493371d8df6a75301fc5','tablet',4,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(7,'v-2026-12-09-lorna','chair-5','section.placed','{"by":"colourist","device":"tablet","device_seq":5,"device_time":"2026-12-09T08:37:30Z","id":"chair-5","kind":"section.placed","offset":60,"payload":{"bowl":"weak","first_foil":1,"last_foil":2,"section":"nape hairline"},"schema":1,"stream":"v-2026-12-09-lorna"}','d84476697732bace047aeaef77de3dd9f5e0b3cbba3ae07f789786cdf5c391e5','tablet',5,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(8,'v-2026-12-09-lorna','chair-6','section.begun','{"by":"colourist","device":"tablet","device_seq":6,"device_time":"2026-12-09T08:38:00Z","id":"chair-6","kind":"section.begun","offset":60,"payload":{"first_foil":3,"section":"centre strip"},"schema":1,"stream":"v-2026-12-09-lorna"}','0856f573e8a94b937f193dba31653ccf267e05280237cd2702716f1007536bdd','tablet',6,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(9,'v-2026-12-09-lorna','chair-7','section.placed','{"by":"colourist","device":"tablet","device_seq":7,"device_time":"2026-12-09T08:58:00Z","id":"chair-7","kind":"section.placed","offset":60,"payload":{"bowl":"weak","first_foil":3,"last_foil":24,"section":"centre strip"},"schema":1,"stream":"v-2026-12-09-lorna"}','e33f03dbb0964d56441290df14b6ab5af4aad2dd643e304d516031216ca75853','tablet',7,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(10,'v-2026-12-09-lorna','chair-8','bowl.mixed','{"by":"colourist","device":"tablet","device_seq":8,"device_time":"2026-12-09T08:59:00Z","id":"chair-8","kind":"bowl.mixed","offset":60,"payload":{"bowl":"main","developer_grams":35,"developer_vol":20,"powder_grams":17.5},"schema":1,"stream":"v-2026-12-09-lorna"}','b248f04afebf6beb3b5b1dbaa6a72913f11ff66ec807c0318cc59d86d9d43ab3','tablet',8,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(11,'v-2026-12-09-lorna','chair-9','section.begun','{"by":"colourist","device":"tablet","device_seq":9,"device_time":"2026-12-09T08:59:30Z","id":"chair-9","kind":"section.begun","offset":60,"payload":{"first_foil":25,"section":"centre strip"},"schema":1,"stream":"v-2026-12-09-lorna"}','c62cacc19c71921e3224789be7644bdbb5e6cac5938093ebc7d2ada92c818b12','tablet',9,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(12,'v-2026-12-09-lorna','chair-10','section.placed','{"by":"colourist","device":"tablet","device_seq":10,"device_time":"2026-12-09T09:15:00Z","id":"chair-10","kind":"section.placed","offset":60,"payload":{"bowl":"main","first_foil":25,"last_foil":43,"section":"centre strip"},"schema":1,"stream":"v-2026-12-09-lorna"}','86baca6f541b7a5295163a2deeb77bc3484edc22eba9b208728b22b5dced79b2','tablet',10,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(13,'v-2026-12-09-lorna','chair-11','section.begun','{"by":"colourist","device":"tablet","device_seq":11,"device_time":"2026-12-09T09:15:30Z","id":"chair-11","kind":"section.begun","offset":60,"payload":{"first_foil":44,"section":"fringe"},"schema":1,"stream":"v-2026-12-09-lorna"}','f631f8809190daa277b3ade0203c40e5556c1fac1d68c24431ed22908658d490','tablet',11,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(14,'v-2026-12-09-lorna','chair-12','check.seen','{"by":"colourist","device":"tablet","device_seq":12,"device_time":"2026-12-09T09:19:49Z","id":"chair-12","kind":"check.seen","offset":60,"payload":{"band":"old colour","dried":true,"foil":5,"stage":9,"sureness":"sure"},"schema":1,"stream":"v-2026-12-09-lorna"}','c3046a2d29fb7f8b2aaf6fb5c43b9138729c163f469f2174e873f055c4590a01','tablet',12,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(15,'v-2026-12-09-lorna','chair-13','check.seen','{"by":"colourist","device":"tablet","device_seq":13,"device_time":"2026-12-09T09:22:00Z","id":"chair-13","kind":"check.seen","offset":60,"payload":{"band":"old colour","foil":28,"stage":7,"sureness":"fair"},"schema":1,"stream":"v-2026-12-09-lorna"}','9f9c0fc20018fcb780c1cefcc18559fbcdad14ac869e9b038f8bff434ba554b3','tablet',13,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(16,'v-2026-12-09-lorna','chair-14','check.seen','{"by":"colourist","device":"tablet","device_seq":14,"device_time":"2026-12-09T09:22:30Z","id":"chair-14","kind":"check.seen","offset":60,"payload":{"band":"old colour, a band of 3 cm","foil":33,"stage":5,"sureness":"fair"},"schema":1,"stream":"v-2026-12-09-lorna"}','7a3490e1889f1401c191ec9020cd52aa91f2bc0702313b8e2a599994a5c56ffb','tablet',14,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(17,'v-2026-12-09-lorna','chair-15','changed','{"by":"colourist","device":"tablet","device_seq":15,"device_time":"2026-12-09T09:24:00Z","id":"chair-15","kind":"changed","offset":60,"payload":{"foils":[31],"what":"bleed","why":"pushed to the skin"},"schema":1,"stream":"v-2026-12-09-lorna"}','be7bb95564bda0a78ab97f15f3f70f66f3b86c6573e32963e978892dc2e43387','tablet',15,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(18,'v-2026-12-09-lorna','chair-16','section.placed','{"by":"colourist","device":"tablet","device_seq":16,"device_time":"2026-12-09T09:24:30Z","id":"chair-16","kind":"section.placed","offset":60,"payload":{"bowl":"main","first_foil":44,"last_foil":52,"section":"fringe"},"schema":1,"stream":"v-2026-12-09-lorna"}','cdc3530f9db766234af8082bc4d3879c84bbe9e0eca55a628eb95ed74d50cd49','tablet',16,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(19,'v-2026-12-09-lorna','chair-17','changed','{"by":"colourist","device":"tablet","device_seq":17,"device_time":"2026-12-09T09:24:50Z","id":"chair-17","kind":"changed","offset":60,"payload":{"section":"fringe","what":"brighter","why":"wants more light at the face"},"schema":1,"stream":"v-2026-12-09-lorna"}','1d50e86572ca483a9adfbe953630af6ab2eb66757cae461462e4e2da002145b1','tablet',17,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(20,'v-2026-12-09-lorna','chair-w1','wiped','{"by":"colourist","device":"tablet","device_seq":18,"device_time":"2026-12-09T09:25:40Z","id":"chair-w1","kind":"wiped","offset":60,"payload":{"foils":[31]},"schema":1,"stream":"v-2026-12-09-lorna"}','fffdb6778ea7e0bdada961b0336349be5f7514f74df00306c2220475c17d1c1a','tablet',18,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(21,'v-2026-12-09-lorna','chair-w2','wiped','{"by":"colourist","device":"tablet","device_seq":19,"device_time":"2026-12-09T09:26:00Z","id":"chair-w2","kind":"wiped","offset":60,"payload":{"foils":[1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24]},"schema":1,"stream":"v-2026-12-09-lorna"}','3869a677392797cff7ee0d8d6e3392a1742c7da517a8476175e7a183958ca72d','tablet',19,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(22,'v-2026-12-09-lorna','chair-w3','wiped','{"by":"colourist","device":"tablet","device_seq":20,"device_time":"2026-12-09T09:45:00Z","id":"chair-w3","kind":"wiped","offset":60,"payload":{"foils":[25,26,27,28,29,30,32,33,34,35,36,37,38,39,40,41,42,43]},"schema":1,"stream":"v-2026-12-09-lorna"}','fef60c79e9ee0e103fd10692bc106086951e8b46e2cf2552cd4dd2a3046f3ac9','tablet',20,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(23,'v-2026-12-09-lorna','chair-w4','wiped','{"by":"colourist","device":"tablet","device_seq":21,"device_time":"2026-12-09T10:00:00Z","id":"chair-w4","kind":"wiped","offset":60,"payload":{"section":"fringe"},"schema":1,"stream":"v-2026-12-09-lorna"}','f101f7b182ec16bc704089841a8ab15955025e71104397fd57072ea32eeeb3e4','tablet',21,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(24,'v-2026-12-09-lorna','chair-18','rinsed','{"by":"colourist","device":"tablet","device_seq":22,"device_time":"2026-12-09T11:04:00Z","id":"chair-18","kind":"rinsed","offset":60,"payload":{},"schema":1,"stream":"v-2026-12-09-lorna"}','662d59fc86432893ecdabfa64bd1296e6c364c954cc47aa39eb7354091c63b09','tablet',22,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(25,'v-2026-12-09-lorna','chair-19','test.done','{"by":"colourist","device":"tablet","device_seq":23,"device_time":"2026-12-09T11:08:00Z","id":"chair-19","kind":"test.done","offset":60,"payload":{"outcome":"clear","test":"stretch","where":"the band"},"schema":1,"stream":"v-2026-12-09-lorna"}','036b94f0e10d5dd15ebad02e269babcc97d62ffa99439411abc65bbdf0f1ce0e','tablet',23,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(26,'v-2026-12-09-lorna','chair-20','result.seen','{"by":"colourist","device":"tablet","device_seq":24,"device_time":"2026-12-09T11:10:00Z","id":"chair-20","kind":"result.seen","offset":60,"payload":{"area":"back","evenness":"even","stage":9},"schema":1,"stream":"v-2026-12-09-lorna"}','86996ebc4749f42cf8cc09087f9497e549f959e1ab62a5564cf6e67a50eebcc9','tablet',24,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(27,'v-2026-12-09-lorna','chair-21','result.seen','{"by":"colourist","device":"tablet","device_seq":25,"device_time":"2026-12-09T11:10:30Z","id":"chair-21","kind":"result.seen","offset":60,"payload":{"area":"crown","evenness":"band warm","stage":7.5},"schema":1,"stream":"v-2026-12-09-lorna"}','6bb48179bccdad96940c0f1bb692789e12f9524a1e51560ca503dc7c26011443','tablet',25,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(28,'v-2026-12-09-lorna','chair-22','result.seen','{"by":"colourist","device":"tablet","device_seq":26,"device_time":"2026-12-09T11:11:00Z","id":"chair-22","kind":"result.seen","offset":60,"payload":{"area":"front","evenness":"even","stage":9},"schema":1,"stream":"v-2026-12-09-lorna"}','436dbb94150c04f5c1ffb40d45cf7418bc43b5557ea80e94cfa69cffd66bd06e','tablet',26,'2026-11-26T11:59:38.885Z');
INSERT INTO "fact" VALUES(29,'client-221f9e84cb9d4e4b9cd6771f683dae8b','365a3a6ba8414e609d60902b6a446bf8','consent.given','{"by":"Ada","device":"desk","device_seq":3,"device_time":"2026-12-03T08:00:02.000Z","id":"365a3a6ba8414e609d60902b6a446bf8","kind":"consent.given","offset":60,"payload":{"purpose":"health","signature":"L. Hexwillow"},"schema":1,"stream":"client-221f9e84cb9d4e4b9cd6771f683dae8b"}','12d93e1254c18d2523b8c30dd4a178b7a91328744aa7e78bf4a904f75b76a4af','desk',3,'2026-11-26T11:59:38.923Z');
INSERT INTO "fact" VALUES(30,'consultation-7ed4d0928825421cb4ee4ca2ff4d77d7','d3a19adeb844448b8b8a2750d2d7781f','consultation.written','{"by":"Ada","device":"desk","device_seq":4,"device_time":"2026-12-03T08:00:03.000Z","id":"d3a19adeb844448b8b8a2750d2d7781f","kind":"consultation.written","offset":60,"payload":{"text":"# A heavy head of foils on level-6 cover.\nuses = [\"practice.toml\"]\n\n[client]\nname = \"Lorna Hexwillow\"\nage = 47\n\n[visit]\ndate = 2026-12-09\n\n[areas]\nfront = { gray = 50 }\ncrown = { gray = 40 }\nback = { gray = 30 }\n\n[hair]\nlevel = 6\nregrowth_cm = 1.8\nlength = \"shoulder\"\n\n[cover]\ndepth = 6\nyears = 4\nevery_weeks = 6\nprice = 75\n\n[aim]\nwish = \"brighter\"\ntone = \"beige\"\n\n[limits]\nhours = 5\n\n[health]                       # answered by the client beforehand, one by one\nallergies = \"none\"\npast_reaction = \"no\"\nblack_henna_tattoo = \"no\"\nscalp = \"sound\"\nmetallic_or_herbal_colour = \"no\"\npregnancy = \"no\"\nalert_test = { date = 2026-12-05T10:00:00, result = \"clear\", line = \"tideline\" }\n"},"schema":1,"stream":"consultation-7ed4d0928825421cb4ee4ca2ff4d77d7"}','6ec7c166ed455b7a81b72bbb6126eb97898aa7093e0e71a1f66851e23c9bd442','desk',4,'2026-11-26T11:59:38.954Z');
CREATE TABLE plan_reading (
	stream VARCHAR(64) NOT NULL, 
	client VARCHAR(64), 
	date VARCHAR(10), 
	foils_from VARCHAR(10), 
	foils_to VARCHAR(10), 
	gloss_from VARCHAR(10), 
	gloss_to VARCHAR(10), 
	PRIMARY KEY (stream)
);
CREATE TABLE stream (
	name VARCHAR(64) NOT NULL, 
	token VARCHAR(32) NOT NULL, 
	sort VARCHAR(20) NOT NULL, 
	client VARCHAR(64), 
	version BIGINT NOT NULL, 
	PRIMARY KEY (name), 
	UNIQUE (token)
);
INSERT INTO "stream" VALUES('client-221f9e84cb9d4e4b9cd6771f683dae8b','a02de9823d564bb88f3a566befff27f3','client','client-221f9e84cb9d4e4b9cd6771f683dae8b',2);
INSERT INTO "stream" VALUES('client-a382f919c5f34d1f95d136713af5e9e0','8172880f21e04e97a5d98d5aceff604b','client','client-a382f919c5f34d1f95d136713af5e9e0',1);
INSERT INTO "stream" VALUES('v-2026-12-09-lorna','28733658fafe41ccb1486aa49d7a63ec','visit','client-221f9e84cb9d4e4b9cd6771f683dae8b',26);
INSERT INTO "stream" VALUES('consultation-7ed4d0928825421cb4ee4ca2ff4d77d7','0d0ab3e2013c4d71b36dd006097a36ae','consultation','client-221f9e84cb9d4e4b9cd6771f683dae8b',1);
CREATE TABLE tomb (
	digest VARCHAR(64) NOT NULL, 
	salt VARCHAR(32) NOT NULL, 
	erased VARCHAR(24) NOT NULL, 
	by_whom TEXT NOT NULL, 
	lifted VARCHAR(24), 
	PRIMARY KEY (digest)
);
CREATE TABLE unread (
	digest VARCHAR(64) NOT NULL, 
	stream VARCHAR(64) NOT NULL, 
	line TEXT NOT NULL, 
	received VARCHAR(24) NOT NULL, 
	PRIMARY KEY (digest, stream), 
	FOREIGN KEY(stream) REFERENCES stream (name)
);
INSERT INTO "unread" VALUES('a79fec1615a743c58b4fd3cee070a8e17d0fbcc31a2bd6cfb57dca2591394be4','v-2026-12-09-lorna','"not a fact"','2026-11-26T11:59:38.885Z');
CREATE TABLE visit_reading (
	stream VARCHAR(64) NOT NULL, 
	client VARCHAR(64), 
	date VARCHAR(10), 
	outcome VARCHAR(20), 
	facts INTEGER NOT NULL, 
	PRIMARY KEY (stream)
);
INSERT INTO "visit_reading" VALUES('v-2026-12-09-lorna','client-221f9e84cb9d4e4b9cd6771f683dae8b','2026-12-09',NULL,26);
CREATE INDEX ix_stream_client ON stream (client);
CREATE INDEX ix_stream_sort ON stream (sort);
CREATE INDEX facts_of_a_stream ON fact (stream, place);
CREATE INDEX facts_of_a_device ON fact (device, device_seq);
CREATE INDEX ix_client_reading_next_visit ON client_reading (next_visit);
CREATE INDEX ix_client_reading_search ON client_reading (search);
CREATE INDEX ix_visit_reading_client ON visit_reading (client);
CREATE INDEX ix_visit_reading_date ON visit_reading (date);
CREATE INDEX ix_plan_reading_date ON plan_reading (date);
CREATE INDEX ix_plan_reading_client ON plan_reading (client);
CREATE INDEX facts_of_a_kind ON fact (kind);
COMMIT;
